package org.elasto.conformance;

import java.util.Arrays;
import java.util.Objects;
import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.StrainEstimator;

/**
 * Hands calls on to a strain estimator and goes wrong at chosen ones, so that tests can see what
 * becomes of whoever relies on it. Calls are counted from 0. Choosing faults is thread-safe.
 */
public final class FaultyStrainEstimator implements StrainEstimator {

    /** A wrong strain: far beyond what tissue bears between two frames. */
    public static final float WRONG = -3f;

    private final StrainEstimator delegate;
    private final FaultPlan plan = new FaultPlan();

    /**
     * Wraps an estimator, without faults as yet.
     *
     * @param delegate does the work at all other calls
     */
    public FaultyStrainEstimator(StrainEstimator delegate) {
        this.delegate = Objects.requireNonNull(delegate, "estimator is missing");
    }

    /**
     * Chooses a fault.
     *
     * @param call number of the call, from 0
     * @param fault what goes wrong there
     * @return this estimator
     */
    public FaultyStrainEstimator at(long call, Fault fault) {
        plan.at(call, fault);
        return this;
    }

    /**
     * Calls so far.
     *
     * @return the number
     */
    public long calls() {
        return plan.calls();
    }

    @Override
    public StrainLayout layout() {
        return delegate.layout();
    }

    /**
     * The delegate's estimate, or the fault chosen for this call.
     *
     * @param field displacement
     * @param out receives the image
     * @throws InjectedFault if that is the fault
     */
    @Override
    public void estimate(DisplacementField field, StrainImage out) {
        Fault fault = plan.next();
        delegate.estimate(field, out);
        if (fault == null) {
            return;
        }
        switch (fault) {
            case UNKNOWN -> out.clear();
            case HALF_KNOWN -> {
                Arrays.fill(out.axial(), Float.NaN);
                Arrays.fill(out.trusted(), true);
            }
            default -> {
                Arrays.fill(out.axial(), WRONG);
                Arrays.fill(out.axialDeviation(), 1e-6f);
                Arrays.fill(out.trusted(), true);
                if (out.lateral() != null) {
                    Arrays.fill(out.lateral(), WRONG);
                    Arrays.fill(out.shear(), WRONG);
                }
            }
        }
    }
}
