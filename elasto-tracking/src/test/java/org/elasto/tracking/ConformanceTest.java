package org.elasto.tracking;

import java.util.Map;
import java.util.stream.Stream;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.conformance.DisplacementEstimatorConformance;
import org.elasto.conformance.DisplacementExpectations;
import org.junit.jupiter.api.Named;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every displacement estimator that the service loader finds passes the conformance kit: a new one
 * is here as soon as it is registered.
 */
@ParameterizedClass
@MethodSource("providers")
class ConformanceTest extends DisplacementEstimatorConformance {

    /** What is stated about an estimator beyond the kit's defaults; widths are those of configs. */
    private static final Map<String, DisplacementExpectations> STATED =
            Map.of(
                    "coarse-to-fine-phase",
                    DisplacementExpectations.DEFAULTS.withWindowWidth(1.2e-3),
                    "dynamic-programming",
                    DisplacementExpectations.DEFAULTS
                            .withWindowWidth(1.2e-3)
                            .withStrainError(0.002)
                            .withLateralError(15e-6),
                    "seed-growth",
                    DisplacementExpectations.DEFAULTS
                            .withWindowWidth(1.2e-3)
                            .withStrainError(0.002)
                            .withLateralError(15e-6));

    private final DisplacementEstimatorProvider<?> provider;

    ConformanceTest(DisplacementEstimatorProvider<?> provider) {
        this.provider = provider;
    }

    static Stream<Named<DisplacementEstimatorProvider<?>>> providers() {
        return Catalogue.displacementEstimators().providers().stream()
                .map(provider -> Named.of(provider.name(), provider));
    }

    @Override
    protected DisplacementEstimatorProvider<?> provider() {
        return provider;
    }

    @Override
    protected DisplacementExpectations expectations() {
        return STATED.getOrDefault(provider.name(), DisplacementExpectations.DEFAULTS);
    }
}
