package org.elasto.conformance;

import java.util.Arrays;
import java.util.Objects;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.StrainEstimator;

/**
 * Hands calls on to a strain estimator and checks the contract at each, on both sides: that the
 * caller passes fields and images that fit, wholly known or wholly unknown at every place, and
 * comes with one thread at a time; that the estimator keeps its layout, leaves the field alone,
 * overwrites every value, and trusts nothing unknown. For tests of whatever uses estimators.
 *
 * <p>Thread-safe in that it notices wrong use by several threads. A call allocates nothing.
 */
public final class CheckedStrainEstimator implements StrainEstimator {

    private static final float MARK = Float.intBitsToFloat(0x7149f2ca);

    private final StrainEstimator delegate;
    private final FieldLayout field;
    private final StrainLayout layout;
    private final OneAtATime turn = new OneAtATime("a strain estimator");
    private volatile long calls;

    /**
     * Wraps an estimator.
     *
     * @param delegate does the work
     * @param field layout that it was made for
     */
    public CheckedStrainEstimator(StrainEstimator delegate, FieldLayout field) {
        this.delegate = Objects.requireNonNull(delegate, "estimator is missing");
        this.field = Objects.requireNonNull(field, "field layout is missing");
        layout = Objects.requireNonNull(delegate.layout(), "the estimator has no layout");
    }

    @Override
    public StrainLayout layout() {
        StrainLayout now = delegate.layout();
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
     * @param displacement the field
     * @param out receives the image
     * @throws ContractViolation if caller or estimator break the contract
     */
    @Override
    public void estimate(DisplacementField displacement, StrainImage out) {
        turn.enter();
        try {
            calls++;
            CheckedDisplacementEstimator.fits("displacement field", displacement.layout(), field);
            CheckedDisplacementEstimator.fits("strain image", out.layout(), layout());
            String halfKnown = FieldRules.firstHalfKnown(displacement);
            if (halfKnown != null) {
                throw new ContractViolation(
                        "the caller passed a field whose "
                                + halfKnown
                                + "; allowed is "
                                + FieldRules.WHOLLY_KNOWN);
            }
            long before = Bits.checksum(displacement);
            mark(out);
            delegate.estimate(displacement, out);
            if (Bits.checksum(displacement) != before) {
                throw new ContractViolation("the estimator changed the displacement field");
            }
            checkOverwritten("axial strain", out.axial(), out.rows());
            checkOverwritten("deviation", out.axialDeviation(), out.rows());
            checkOverwritten("lateral strain", out.lateral(), out.rows());
            checkOverwritten("shear strain", out.shear(), out.rows());
            String wrong = FieldRules.firstHalfKnown(out);
            if (wrong != null) {
                throw new ContractViolation(
                        wrong + "; allowed is " + FieldRules.STRAIN_WHOLLY_KNOWN);
            }
        } finally {
            turn.leave();
        }
    }

    private static void mark(StrainImage image) {
        Arrays.fill(image.axial(), MARK);
        Arrays.fill(image.axialDeviation(), MARK);
        // Trust that is left over from before then stands on places that may be unknown.
        Arrays.fill(image.trusted(), true);
        if (image.lateral() != null) {
            Arrays.fill(image.lateral(), MARK);
            Arrays.fill(image.shear(), MARK);
        }
    }

    private static void checkOverwritten(String what, float[] plane, int rows) {
        if (plane != null) {
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
}
