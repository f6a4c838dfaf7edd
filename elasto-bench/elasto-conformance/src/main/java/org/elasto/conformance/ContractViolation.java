package org.elasto.conformance;

/**
 * Thrown by the checked wrappers when a contract is broken. An error, not an exception: whoever
 * catches the exceptions of plugins must not swallow it.
 */
public final class ContractViolation extends AssertionError {

    private static final long serialVersionUID = 1;

    ContractViolation(String message) {
        super(message);
    }
}
