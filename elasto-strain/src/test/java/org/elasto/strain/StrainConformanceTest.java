package org.elasto.strain;

import java.util.stream.Stream;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.conformance.StrainEstimatorConformance;
import org.elasto.conformance.StrainExpectations;
import org.junit.jupiter.api.Named;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every strain estimator that the service loader finds passes the conformance kit: a new one is
 * here as soon as it is registered.
 */
@ParameterizedClass
@MethodSource("providers")
class StrainConformanceTest extends StrainEstimatorConformance {

    private final StrainEstimatorProvider<?> provider;

    StrainConformanceTest(StrainEstimatorProvider<?> provider) {
        this.provider = provider;
    }

    static Stream<Named<StrainEstimatorProvider<?>>> providers() {
        return Catalogue.strainEstimators().providers().stream()
                .map(provider -> Named.of(provider.name(), provider));
    }

    /** A precision that is to be met and a process noise are strains that do not scale. */
    @Override
    protected StrainExpectations expectations() {
        return switch (provider.name()) {
            case "adaptive-window", "kalman-smoother" -> StrainExpectations.DEFAULTS.withOwnScale();
            default -> StrainExpectations.DEFAULTS;
        };
    }

    @Override
    protected StrainEstimatorProvider<?> provider() {
        return provider;
    }
}
