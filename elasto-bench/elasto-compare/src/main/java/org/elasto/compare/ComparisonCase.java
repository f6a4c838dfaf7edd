package org.elasto.compare;

/**
 * One thing that a comparison does: a source with a displacement estimator and a strain estimator.
 *
 * @param source the recording or phantom
 * @param estimator the displacement estimator
 * @param strain the strain estimator
 */
record ComparisonCase(PlannedSource source, Setting estimator, Setting strain) {

    String label() {
        return source.label() + ", " + estimator.label() + ", " + strain.label();
    }
}
