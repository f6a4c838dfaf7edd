package org.elasto.samples.own;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.conformance.DisplacementEstimatorConformance;
import org.elasto.conformance.DisplacementExpectations;
import org.junit.jupiter.api.Test;

/** The mistake that the README tells of, and what the kit says to it. */
class MistakeTest {

    private static final Path README = Path.of("README.md");

    /** Takes every RF sample of the window for independent: it claims precision it has not. */
    private record Mistaken(DisplacementEstimatorProvider<PhaseZeroConfig> right)
            implements DisplacementEstimatorProvider<PhaseZeroConfig> {

        @Override
        public String name() {
            return right.name();
        }

        @Override
        public String summary() {
            return right.summary();
        }

        @Override
        public String source() {
            return right.source();
        }

        @Override
        public PhaseZeroConfig defaults() {
            return right.defaults();
        }

        @Override
        public DisplacementEstimator create(
                PhaseZeroConfig config, ScanGeometry geometry, Workers workers) {
            DisplacementEstimator estimator = right.create(config, geometry, workers);
            // The right number of independent samples over the number of RF samples.
            double share = 0.6 * geometry.centreFrequency() / geometry.samplingFrequency();
            float factor = (float) Math.sqrt(share);
            return new DisplacementEstimator() {
                @Override
                public FieldLayout layout() {
                    return estimator.layout();
                }

                @Override
                public void estimate(RfFrame first, RfFrame second, DisplacementField out) {
                    estimator.estimate(first, second, out);
                    for (int i = 0; i < out.axialDeviation().length; i++) {
                        out.axialDeviation()[i] *= factor;
                    }
                }
            };
        }
    }

    private static final class Kit extends DisplacementEstimatorConformance {
        private final DisplacementEstimatorProvider<?> provider;

        Kit(DisplacementEstimatorProvider<?> provider) {
            this.provider = provider;
        }

        @Override
        protected DisplacementEstimatorProvider<?> provider() {
            return provider;
        }

        @Override
        protected DisplacementExpectations expectations() {
            return PhaseZeroConformanceTest.STATED;
        }
    }

    @Test
    void theKitSaysWhatTheReadmeQuotes() throws IOException {
        Kit mistaken = new Kit(new Mistaken(new PhaseZeroProvider()));
        AssertionError error =
                assertThrows(AssertionError.class, mistaken::predictedDeviationsAgreeWithErrors);
        String said = error.getMessage().lines().limit(2).collect(Collectors.joining("\n"));
        assertTrue(said.contains("predicted deviations") && said.contains("saw "), said);
        assertTrue(
                withoutNumbers(Files.readString(README)).contains(withoutNumbers(said)),
                () -> "the README does not quote\n" + said);
    }

    /** The last digits may differ from one processor to another. */
    private static String withoutNumbers(String text) {
        return text.replaceAll("[0-9]+(\\.[0-9]+)?", "#");
    }

    /** The mistake touches nothing that the kit's checks of the motion look at. */
    @Test
    void theMotionItselfPasses() {
        Kit mistaken = new Kit(new Mistaken(new PhaseZeroProvider()));
        mistaken.shiftsComeBackNearTheBound();
        assertEquals("phase-zero", mistaken.provider().name());
    }
}
