package org.elasto.conformance;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.reflect.InvocationTargetException;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.NoParameters;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Strain estimators that are spoilt in one way each fail the check that is meant for it. */
class BadStrainEstimatorsTest {

    private static final List<String> BYSTANDERS =
            List.of(
                    "layoutFitsTheField",
                    "everyValueIsOverwritten",
                    "otherShapesAreRefused",
                    "strainScalesWithDisplacement");

    /** Spoils an estimator. */
    @FunctionalInterface
    private interface Spoiler {
        void estimate(
                StrainEstimator honest, Workers workers, DisplacementField field, StrainImage out);
    }

    private record Spoilt(String name, Spoiler spoiler)
            implements StrainEstimatorProvider<NoParameters> {

        @Override
        public String summary() {
            return "honest but for one thing";
        }

        @Override
        public String source() {
            return "made to fail";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }

        @Override
        public StrainEstimator create(NoParameters config, FieldLayout field, Workers workers) {
            StrainEstimator honest = new PlainSlopeProvider().create(config, field, workers);
            return new StrainEstimator() {
                @Override
                public StrainLayout layout() {
                    return honest.layout();
                }

                @Override
                public void estimate(DisplacementField in, StrainImage out) {
                    spoiler.estimate(honest, workers, in, out);
                }
            };
        }
    }

    private static final class Kit extends StrainEstimatorConformance {
        private final StrainEstimatorProvider<?> provider;
        private final StrainExpectations stated;

        Kit(StrainEstimatorProvider<?> provider) {
            this(provider, StrainExpectations.DEFAULTS);
        }

        Kit(StrainEstimatorProvider<?> provider, StrainExpectations stated) {
            this.provider = provider;
            this.stated = stated;
        }

        @Override
        protected StrainExpectations expectations() {
            return stated;
        }

        @Override
        protected StrainEstimatorProvider<?> provider() {
            return provider;
        }
    }

    record Case(StrainEstimatorProvider<?> provider, Map<String, String> fails) {
        @Override
        public String toString() {
            return provider.name();
        }
    }

    private static Case bad(String name, Spoiler spoiler, String... checksAndWords) {
        Map<String, String> fails = new LinkedHashMap<>();
        for (int i = 0; i < checksAndWords.length; i += 2) {
            fails.put(checksAndWords[i], checksAndWords[i + 1]);
        }
        return new Case(new Spoilt(name, spoiler), fails);
    }

    /** Changes what the honest estimator has written. */
    @FunctionalInterface
    private interface Change {
        void at(StrainImage out, int i);
    }

    private static Spoiler eachKnown(Change change) {
        return (honest, workers, field, out) -> {
            honest.estimate(field, out);
            for (int i = 0; i < out.axial().length; i++) {
                if (!Float.isNaN(out.axial()[i])) {
                    change.at(out, i);
                }
            }
        };
    }

    /**
     * Who has a strain of his own to go by is still held to twice the strain for twice the motion.
     */
    @Test
    void aScaleOfItsOwnIsNoExcuse() throws Throwable {
        StrainExpectations stated = StrainExpectations.DEFAULTS.withOwnScale();
        String check = "strainScalesWithDisplacement";
        // A deviation that does not scale with the displacement's is what is allowed.
        Spoilt fixed =
                new Spoilt(
                        "fixed-deviation", eachKnown((out, i) -> out.axialDeviation()[i] = 1e-4f));
        run(new Kit(fixed, stated), check);
        assertThrows(AssertionError.class, () -> run(new Kit(fixed), check));
        Spoilt bent =
                new Spoilt(
                        "bent-scale",
                        eachKnown(
                                (out, i) ->
                                        out.axial()[i] += 10 * out.axial()[i] * out.axial()[i]));
        AssertionError error =
                assertThrows(AssertionError.class, () -> run(new Kit(bent, stated), check));
        assertTrue(error.getMessage().contains("twice the strain"), error.getMessage());
    }

    @ParameterizedTest
    @MethodSource("cases")
    void failsForTheRightReason(Case bad) {
        Kit kit = new Kit(bad.provider);
        bad.fails.forEach(
                (check, words) -> {
                    AssertionError error =
                            assertThrows(
                                    AssertionError.class,
                                    () -> run(kit, check),
                                    bad + ", " + check);
                    assertTrue(
                            error.getMessage().contains(words),
                            check + " says: " + error.getMessage());
                });
        for (String check : BYSTANDERS) {
            if (!bad.fails.containsKey(check)) {
                assertDoesNotThrow(() -> run(kit, check), bad + ", " + check);
            }
        }
    }

    private static void run(Kit kit, String check) throws Throwable {
        try {
            StrainEstimatorConformance.class.getMethod(check).invoke(kit);
        } catch (InvocationTargetException e) {
            throw e.getCause();
        }
    }

    private static volatile float[] sink;

    static Stream<Case> cases() {
        return Stream.of(
                bad(
                        "always-zero",
                        eachKnown((out, i) -> out.axial()[i] = 0),
                        "linearDisplacementGivesItsSlope",
                        "saw greatest error of strain -0.003 0.003",
                        "resolutionIsAsStated",
                        "rise from 10 % to 90 % (m) NaN"),
                bad(
                        "wrong-sign",
                        eachKnown((out, i) -> out.axial()[i] = -out.axial()[i]),
                        "linearDisplacementGivesItsSlope",
                        "saw greatest error of strain -0.003 0.006"),
                bad(
                        "offset",
                        eachKnown((out, i) -> out.axial()[i] += 1e-5f),
                        "evenDisplacementIsNoStrain",
                        "saw greatest error of strain 0",
                        "strainScalesWithDisplacement",
                        "saw greatest difference to twice the strain"),
                bad(
                        "knows-nothing",
                        (honest, workers, field, out) -> out.clear(),
                        "linearDisplacementGivesItsSlope",
                        "saw share of known places 0.000",
                        "strainScalesWithDisplacement",
                        "saw known places 0.000; expected at least 1",
                        "otherShapesAreRefused",
                        "saw no exception"),
                bad(
                        "invents-precision",
                        eachKnown((out, i) -> out.axialDeviation()[i] *= 0.5f),
                        "predictedDeviationsAgreeWithErrors",
                        "saw errors over their predicted deviations 2."),
                bad(
                        "believes-errors-independent",
                        eachKnown(
                                (out, i) ->
                                        out.axialDeviation()[i] =
                                                (float)
                                                        (0.5e-6
                                                                * Math.sqrt(
                                                                        12
                                                                                / (0.15e-3
                                                                                        * 0.15e-3
                                                                                        * 17
                                                                                        * (17 * 17
                                                                                                - 1.0))))),
                        "predictedDeviationsAgreeWithErrors",
                        "saw errors over their predicted deviations",
                        "strainScalesWithDisplacement",
                        "difference to twice the deviation"),
                bad(
                        "invents-strain",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            for (int i = 0; i < out.axial().length; i++) {
                                if (Float.isNaN(out.axial()[i])) {
                                    out.axial()[i] = 0;
                                    out.axialDeviation()[i] = 1e-4f;
                                }
                            }
                        },
                        "unknownDisplacementIsNotInvented",
                        "saw known places 5600; expected at most 0"),
                bad(
                        "trusts-unknown",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            Arrays.fill(out.trusted(), true);
                        },
                        "noPlaceIsHalfKnown",
                        "untrusted",
                        "unknownDisplacementIsNotInvented",
                        "saw places known or trusted within the gap"),
                bad(
                        "blurs-more-than-stated",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            float[] sharp = out.axial().clone();
                            for (int i = 8; i < sharp.length - 8; i++) {
                                float sum = 0;
                                for (int k = -8; k <= 8; k++) {
                                    sum += sharp[i + k];
                                }
                                out.axial()[i] = sum / 17;
                                if (Float.isNaN(sum)) {
                                    out.axialDeviation()[i] = Float.NaN;
                                    out.trusted()[i] = false;
                                }
                            }
                        },
                        "resolutionIsAsStated",
                        "saw depth of the rise from 10 % to 90 %"),
                bad(
                        "one-row-off",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            int n = out.axial().length - 2;
                            System.arraycopy(out.axial(), 0, out.axial(), 2, n);
                            System.arraycopy(out.axialDeviation(), 0, out.axialDeviation(), 2, n);
                            for (int i = 0; i < out.axial().length; i++) {
                                out.trusted()[i] &= !Float.isNaN(out.axial()[i]);
                            }
                        },
                        "resolutionIsAsStated",
                        "saw depth of the middle of the rise"),
                bad(
                        "feels-side",
                        eachKnown((out, i) -> out.axial()[i] *= 1 + 1e-4f * i),
                        "mirroringTheLinesMirrorsTheImage",
                        "and mirrored"),
                bad(
                        "modifies-input",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            field.axial()[700] += 1e-9f;
                        },
                        "inputsAreNotModified",
                        "the field changed"),
                bad(
                        "leaves-garbage",
                        (honest, workers, field, out) -> {
                            boolean before = out.trusted()[0];
                            honest.estimate(field, out);
                            out.trusted()[0] = before;
                        },
                        "everyValueIsOverwritten",
                        "trust at line 0 row 0 differs"),
                bad(
                        "allocates",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            sink = new float[100];
                        },
                        "nothingIsAllocated",
                        "saw bytes allocated by two calls once warm 832"),
                bad(
                        "counts-workers",
                        (honest, workers, field, out) -> {
                            honest.estimate(field, out);
                            out.axial()[1100] += 1e-6f * (workers.count() - 1);
                        },
                        "workersDoNotMatter",
                        "2 workers"),
                bad(
                        "ignores-shapes",
                        (honest, workers, field, out) -> {
                            if (out.layout().equals(honest.layout())
                                    && field.axial().length == out.axial().length) {
                                honest.estimate(field, out);
                            } else {
                                out.clear();
                            }
                        },
                        "otherShapesAreRefused",
                        "saw no exception"));
    }
}
