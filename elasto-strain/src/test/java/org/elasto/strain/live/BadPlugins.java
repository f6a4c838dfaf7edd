package org.elasto.strain.live;

import java.util.concurrent.CountDownLatch;
import java.util.function.Consumer;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.StrainEstimator;

/** Plugins that do what they must not, around ones that do what they must. */
final class BadPlugins {

    private BadPlugins() {}

    /** A tracker that does something more before or after it has tracked. */
    record Tracker(
            DisplacementEstimator inner,
            Consumer<RfFrame> before,
            Consumer<DisplacementField> after)
            implements DisplacementEstimator {

        @Override
        public FieldLayout layout() {
            return inner.layout();
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            before.accept(reference);
            inner.estimate(reference, moved, out);
            after.accept(out);
        }
    }

    static Tracker throwing(DisplacementEstimator inner, long atFrame) {
        return new Tracker(
                inner,
                frame -> {
                    if (frame.index() == atFrame) {
                        throw new ArithmeticException("frame " + atFrame + " is bad luck");
                    }
                },
                out -> {});
    }

    static Tracker lying(DisplacementEstimator inner, Consumer<DisplacementField> lie) {
        return new Tracker(inner, frame -> {}, lie);
    }

    static Tracker slow(DisplacementEstimator inner, CountDownLatch begun, CountDownLatch go) {
        return new Tracker(
                inner,
                frame -> {
                    begun.countDown();
                    try {
                        go.await();
                    } catch (InterruptedException e) {
                        throw new IllegalStateException("interrupted", e);
                    }
                },
                out -> {});
    }

    /** A strain estimator that changes what another one has given. */
    record Differentiator(StrainEstimator inner, Consumer<StrainImage> after)
            implements StrainEstimator {

        @Override
        public StrainLayout layout() {
            return inner.layout();
        }

        @Override
        public void estimate(DisplacementField field, StrainImage out) {
            inner.estimate(field, out);
            after.accept(out);
        }
    }

    /** A metric that gives a score of its own. */
    static QualityMetric metric(java.util.function.DoubleSupplier score) {
        return (reference, moved, field, strain, map) -> score.getAsDouble();
    }
}
