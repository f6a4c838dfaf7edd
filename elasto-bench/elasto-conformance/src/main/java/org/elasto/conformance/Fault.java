package org.elasto.conformance;

/** What goes wrong at a chosen call of a faulty estimator. */
public enum Fault {
    /** The call throws an {@link InjectedFault} and leaves the output as it was. */
    THROWS,
    /** Nothing is known anywhere, as after a frame of noise: allowed, but useless. */
    UNKNOWN,
    /** NaN where the output claims to know: not allowed by the contract. */
    HALF_KNOWN,
    /** Values far from the truth, claimed to be precise. */
    WRONG_VALUES
}
