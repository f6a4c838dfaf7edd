package org.elasto.strain;

import java.util.stream.Stream;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
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

    /**
     * Total variation judges its deviation by one drawing of errors over the field, which needs one
     * of ordinary size: in even strain, errors go together over several millimetres.
     */
    @Override
    protected FieldLayout layout() {
        FieldLayout usual = super.layout();
        return provider.name().equals("total-variation")
                ? new FieldLayout(
                        ScanGeometry.linear(64, 2400, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                        new RowGrid(300, 0, 0.15e-3),
                        usual.lateral(),
                        usual.axialErrors())
                : usual;
    }

    @Override
    protected StrainEstimatorProvider<?> provider() {
        return provider;
    }
}
