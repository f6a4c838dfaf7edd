package org.elasto.strain;

import java.util.stream.Stream;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.QualityMetricProvider;
import org.elasto.conformance.QualityMetricConformance;
import org.junit.jupiter.api.Named;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every quality metric that the service loader finds passes the conformance kit: a new one is here
 * as soon as it is registered.
 */
@ParameterizedClass
@MethodSource("providers")
class QualityConformanceTest extends QualityMetricConformance {

    private final QualityMetricProvider<?> provider;

    QualityConformanceTest(QualityMetricProvider<?> provider) {
        this.provider = provider;
    }

    static Stream<Named<QualityMetricProvider<?>>> providers() {
        return Catalogue.qualityMetrics().providers().stream()
                .map(provider -> Named.of(provider.name(), provider));
    }

    @Override
    protected QualityMetricProvider<?> provider() {
        return provider;
    }
}
