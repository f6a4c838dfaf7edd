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

    /** A name for files, of letters, digits and hyphens. */
    String fileName() {
        String name = (source.label() + " " + estimator.label()).replaceAll("[^A-Za-z0-9]+", "-");
        return name.substring(0, Math.min(60, name.length()));
    }
}
