/**
 * What any plugin has to hold to, ours or somebody else's, as JUnit tests that are inherited.
 *
 * <p>Extend the class for the contract, return the provider, and state what the method can do where
 * that differs from the defaults:
 *
 * <pre>{@code
 * class MyTrackerTest extends DisplacementEstimatorConformance {
 *     @Override
 *     protected DisplacementEstimatorProvider<?> provider() {
 *         return new MyTrackerProvider();
 *     }
 *
 *     @Override
 *     protected DisplacementExpectations expectations() {
 *         return DisplacementExpectations.DEFAULTS.withWindowWidth(1.2e-3);
 *     }
 * }
 * }</pre>
 *
 * <p>Every message says what was seen, what was expected, and under which conditions with which
 * seed. Every check counts what it compares, and one that compared nothing fails. Two system
 * properties: {@code elasto.conformance.full=true} takes several times as many cases, {@code
 * elasto.conformance.figures=true} prints what was measured beside its limit.
 *
 * <p>The wrappers are for tests of whatever uses estimators: {@link
 * org.elasto.conformance.CheckedDisplacementEstimator} and {@link
 * org.elasto.conformance.CheckedStrainEstimator} hold an estimator to its contract at every call,
 * {@link org.elasto.conformance.FaultyDisplacementEstimator} and {@link
 * org.elasto.conformance.FaultyStrainEstimator} break it at chosen calls.
 */
package org.elasto.conformance;
