/**
 * Strain as the slope of a line fitted with the covariance of overlapping windows.
 *
 * <p>Exported: {@link org.elasto.strain.generalised.GeneralisedLeastSquaresProvider} and its
 * config.
 */
package org.elasto.strain.generalised;
