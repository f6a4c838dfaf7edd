package org.elasto.compare;

import java.nio.file.Path;

/**
 * How a case ended.
 *
 * @param folder where its results are, null if it failed
 * @param measures what was measured, null if it failed
 * @param problem what went wrong, null if nothing did
 */
record CaseOutcome(Path folder, CaseMeasures measures, String problem) {

    /** Strain and displacement of the pair that is shown. */
    static final String RESULTS = "results.h5";

    /** The same of the true motion, where it is known. */
    static final String TRUTH = "truth.h5";

    /** What was measured. */
    static final String MEASURED = "measured.toml";

    static CaseOutcome failed(Throwable problem) {
        return new CaseOutcome(null, null, Problems.text(problem));
    }

    boolean done() {
        return problem == null;
    }
}
