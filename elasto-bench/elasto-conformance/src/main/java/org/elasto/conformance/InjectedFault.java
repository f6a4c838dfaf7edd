package org.elasto.conformance;

/** The exception that a faulty estimator throws on purpose. */
public final class InjectedFault extends RuntimeException {

    private static final long serialVersionUID = 1;

    InjectedFault(long call) {
        super("injected at call " + call);
    }
}
