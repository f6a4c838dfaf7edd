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

    /** Of 7.5 MHz (m): how far autocorrelation can follow. */
    private static final double QUARTER_WAVE = 1540 / 7.5e6 / 4;

    /**
     * What is stated beyond the kit's defaults: widths are those of the default windows. With a
     * fixed centre frequency the error is in proportion to the displacement, as its provider says:
     * some hundredths of it.
     */
    private static final Map<String, DisplacementExpectations> STATED =
            Map.of(
                    "axial-lattice-phase", width(1.2e-3),
                    "lattice-phase", width(1.2e-3).withLateralError(15e-6),
                    "block-matching", width(1.5e-3).withStrainError(0.004).withLateralError(15e-6),
                    "coarse-to-fine-phase", width(1.2e-3),
                    "dynamic-programming",
                            width(1.2e-3).withStrainError(0.002).withLateralError(15e-6),
                    "autocorrelation-fixed",
                            width(0.9e-3)
                                    .withLargestDisplacement(QUARTER_WAVE)
                                    .withSystematicError(5e-3),
                    "autocorrelation-local", width(0.9e-3).withLargestDisplacement(QUARTER_WAVE),
                    "seed-growth", width(1.2e-3).withStrainError(0.002).withLateralError(15e-6),
                    "variational-flow", width(1.5e-3));

    private static DisplacementExpectations width(double width) {
        return DisplacementExpectations.DEFAULTS.withWindowWidth(width);
    }

    private final DisplacementEstimatorProvider<?> provider;

    ConformanceTest(DisplacementEstimatorProvider<?> provider) {
        this.provider = provider;
    }

    static Stream<Named<DisplacementEstimatorProvider<?>>> providers() {
        Catalogue<DisplacementEstimatorProvider<?>> catalogue = Catalogue.displacementEstimators();
        // Fails, with the names there are, where something is stated about none of them.
        STATED.keySet().forEach(catalogue::get);
        return catalogue.providers().stream().map(provider -> Named.of(provider.name(), provider));
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
