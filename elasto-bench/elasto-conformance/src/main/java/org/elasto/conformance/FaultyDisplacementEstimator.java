package org.elasto.conformance;

import java.util.Arrays;
import java.util.Objects;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.DisplacementEstimator;

/**
 * Hands calls on to an estimator and goes wrong at chosen ones, so that tests can see what becomes
 * of whoever relies on it. Calls are counted from 0. Choosing faults is thread-safe.
 */
public final class FaultyDisplacementEstimator implements DisplacementEstimator {

    /** A wrong displacement (m): far beyond any motion between two frames. */
    public static final float WRONG = 0.02f;

    private final DisplacementEstimator delegate;
    private final FaultPlan plan = new FaultPlan();

    /**
     * Wraps an estimator, without faults as yet.
     *
     * @param delegate does the work at all other calls
     */
    public FaultyDisplacementEstimator(DisplacementEstimator delegate) {
        this.delegate = Objects.requireNonNull(delegate, "estimator is missing");
    }

    /**
     * Chooses a fault.
     *
     * @param call number of the call, from 0
     * @param fault what goes wrong there
     * @return this estimator
     */
    public FaultyDisplacementEstimator at(long call, Fault fault) {
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
    public FieldLayout layout() {
        return delegate.layout();
    }

    /**
     * The delegate's estimate, or the fault chosen for this call.
     *
     * @param reference first frame
     * @param moved second frame
     * @param out receives the field
     * @throws InjectedFault if that is the fault
     */
    @Override
    public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
        Fault fault = plan.next();
        delegate.estimate(reference, moved, out);
        if (fault == null) {
            return;
        }
        switch (fault) {
            case UNKNOWN -> out.clear();
            case HALF_KNOWN -> {
                Arrays.fill(out.axial(), Float.NaN);
                Arrays.fill(out.correlation(), 1f);
            }
            default -> {
                Arrays.fill(out.axial(), WRONG);
                Arrays.fill(out.axialDeviation(), 1e-7f);
                Arrays.fill(out.correlation(), 0.99f);
                if (out.lateral() != null) {
                    Arrays.fill(out.lateral(), WRONG);
                    Arrays.fill(out.lateralDeviation(), 1e-7f);
                }
            }
        }
    }
}
