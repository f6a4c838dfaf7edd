package org.elasto.conformance;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/** Makes honest estimators and spoils them in one way. */
final class SpoiltProvider implements DisplacementEstimatorProvider<PlainPhaseConfig> {

    /** Spoils an estimator. */
    @FunctionalInterface
    interface Spoiler {
        DisplacementEstimator spoil(DisplacementEstimator honest, Workers workers);
    }

    /** Spoils what an estimator has written. */
    @FunctionalInterface
    interface Afterwards {
        void spoil(RfFrame reference, RfFrame moved, DisplacementField out);
    }

    private final String name;
    private final Spoiler spoiler;

    SpoiltProvider(String name, Spoiler spoiler) {
        this.name = name;
        this.spoiler = spoiler;
    }

    static SpoiltProvider afterwards(String name, Afterwards afterwards) {
        return new SpoiltProvider(
                name,
                (honest, workers) ->
                        new Wrapped(honest) {
                            @Override
                            public void estimate(
                                    RfFrame reference, RfFrame moved, DisplacementField out) {
                                honest.estimate(reference, moved, out);
                                afterwards.spoil(reference, moved, out);
                            }
                        });
    }

    /** Hands all on, so that a spoilt estimator says only what it does differently. */
    abstract static class Wrapped implements DisplacementEstimator {
        final DisplacementEstimator honest;

        Wrapped(DisplacementEstimator honest) {
            this.honest = honest;
        }

        @Override
        public FieldLayout layout() {
            return honest.layout();
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            honest.estimate(reference, moved, out);
        }
    }

    @Override
    public String name() {
        return name;
    }

    @Override
    public String summary() {
        return "honest but for one thing";
    }

    @Override
    public String source() {
        return "made to fail";
    }

    @Override
    public PlainPhaseConfig defaults() {
        return new PlainPhaseProvider().defaults();
    }

    @Override
    public DisplacementEstimator create(
            PlainPhaseConfig config, ScanGeometry geometry, Workers workers) {
        return spoiler.spoil(new PlainPhaseEstimator(config, geometry, workers), workers);
    }
}
