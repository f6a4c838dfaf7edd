package org.elasto.conformance;

import java.util.Arrays;
import java.util.Objects;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.DisplacementEstimator;

/**
 * Hands calls on to an estimator and checks the contract at each, on both sides: that the caller
 * passes frames and fields that fit and comes with one thread at a time, that the estimator keeps
 * its layout, leaves the frames alone, overwrites every value, and leaves no place half known. For
 * tests of whatever uses estimators.
 *
 * <p>Thread-safe in that it notices wrong use by several threads. A call allocates nothing.
 */
public final class CheckedDisplacementEstimator implements DisplacementEstimator {

    /** What an estimator would hardly write by chance. */
    private static final float MARK = Float.intBitsToFloat(0x7149f2ca);

    private final DisplacementEstimator delegate;
    private final FieldLayout layout;
    private final float[] line;
    private final OneAtATime turn = new OneAtATime("a displacement estimator");
    private volatile long calls;

    /**
     * Wraps an estimator.
     *
     * @param delegate does the work
     */
    public CheckedDisplacementEstimator(DisplacementEstimator delegate) {
        this.delegate = Objects.requireNonNull(delegate, "estimator is missing");
        layout = Objects.requireNonNull(delegate.layout(), "the estimator has no layout");
        line = new float[layout.geometry().samples()];
    }

    @Override
    public FieldLayout layout() {
        FieldLayout now = delegate.layout();
        if (!layout.equals(now)) {
            throw new ContractViolation("layout was " + layout + " and is now " + now);
        }
        return layout;
    }

    /**
     * Calls of {@link #estimate} that were begun.
     *
     * @return the number
     */
    public long calls() {
        return calls;
    }

    /**
     * As promised by the contract, or an error.
     *
     * @param reference first frame
     * @param moved second frame
     * @param out receives the field
     * @throws ContractViolation if caller or estimator break the contract
     */
    @Override
    public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
        turn.enter();
        try {
            calls++;
            fits("first frame", reference.geometry(), layout.geometry());
            fits("second frame", moved.geometry(), layout.geometry());
            fits("field", out.layout(), layout());
            long before = Bits.checksum(reference, line);
            long movedBefore = Bits.checksum(moved, line);
            mark(out);
            delegate.estimate(reference, moved, out);
            if (Bits.checksum(reference, line) != before) {
                throw new ContractViolation("the estimator changed the first frame");
            }
            if (Bits.checksum(moved, line) != movedBefore) {
                throw new ContractViolation("the estimator changed the second frame");
            }
            checkOverwritten(out);
            String wrong = FieldRules.firstHalfKnown(out);
            if (wrong != null) {
                throw new ContractViolation(wrong + "; allowed is " + FieldRules.WHOLLY_KNOWN);
            }
        } finally {
            turn.leave();
        }
    }

    static void fits(String what, Object seen, Object expected) {
        if (!expected.equals(seen)) {
            throw new ContractViolation(
                    "the caller passed a " + what + " of " + seen + "; expected " + expected);
        }
    }

    private static void mark(DisplacementField field) {
        Arrays.fill(field.axial(), MARK);
        Arrays.fill(field.correlation(), MARK);
        Arrays.fill(field.axialDeviation(), MARK);
        if (field.lateral() != null) {
            Arrays.fill(field.lateral(), MARK);
            Arrays.fill(field.lateralDeviation(), MARK);
        }
    }

    private static void checkOverwritten(DisplacementField field) {
        checkOverwritten("axial displacement", field.axial(), field.rows());
        checkOverwritten("correlation", field.correlation(), field.rows());
        checkOverwritten("axial deviation", field.axialDeviation(), field.rows());
        if (field.lateral() != null) {
            checkOverwritten("lateral displacement", field.lateral(), field.rows());
            checkOverwritten("lateral deviation", field.lateralDeviation(), field.rows());
        }
    }

    private static void checkOverwritten(String what, float[] plane, int rows) {
        for (int i = 0; i < plane.length; i++) {
            if (plane[i] == MARK) {
                throw new ContractViolation(
                        what
                                + " at "
                                + FieldRules.place(i, rows)
                                + " was not written; every value must be");
            }
        }
    }
}
