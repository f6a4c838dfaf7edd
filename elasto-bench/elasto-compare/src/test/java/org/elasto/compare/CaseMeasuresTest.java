package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.StringLength;
import org.elasto.compare.CalibrationBins.Bin;
import org.junit.jupiter.api.Test;

class CaseMeasuresTest {

    private static double number(Random random) {
        double[] special = {Double.NaN, Double.POSITIVE_INFINITY, -0.0, 1e-300, 12345678};
        int choice = random.nextInt(10);
        return choice < special.length ? special[choice] : random.nextGaussian() * 1e-6;
    }

    @Property(tries = 40, seed = "20260301")
    void whatIsWrittenIsReadAgain(
            @ForAll long seed,
            @ForAll @IntRange(min = 1, max = 4) int pairs,
            @ForAll @StringLength(max = 20) String text)
            throws IOException {
        Random random = new Random(seed);
        Map<String, String> about = new LinkedHashMap<>();
        // Half of a character pair is no text, and no file can hold it.
        about.put("source", text.replaceAll("[\\ud800-\\udfff]", "?"));
        about.put("quoted \"key\"", "back\\slash\nnew\tline");
        List<CaseMeasures.Pair> all = new java.util.ArrayList<>();
        for (int i = 0; i < pairs; i++) {
            Map<Measure, Double> values = new EnumMap<>(Measure.class);
            for (Measure measure : Measure.values()) {
                if (random.nextBoolean()) {
                    values.put(measure, number(random));
                }
            }
            all.add(new CaseMeasures.Pair(i, i + 1, values, Map.of("match", number(random))));
        }
        CaseMeasures measures =
                new CaseMeasures(
                        about,
                        number(random),
                        all,
                        List.of(new TrueMotion.Round(-4e-3, 0.02, 4e-3, 0.5)),
                        List.of(new Bin(1e-7, 2e-7, 60)),
                        List.of());
        Path file = Files.createTempFile("measured", ".toml");
        try {
            WholeFile.write(file, measures.toText());
            assertEquals(measures, CaseMeasures.read(file));
        } finally {
            Files.delete(file);
        }
    }

    @Test
    void pairsAreTakenTogetherAsTheyShould() {
        Map<Measure, Double> one = new EnumMap<>(Measure.class);
        Map<Measure, Double> two = new EnumMap<>(Measure.class);
        one.put(Measure.DISPLACEMENT_ERROR, 3.0);
        two.put(Measure.DISPLACEMENT_ERROR, 4.0);
        one.put(Measure.TRUE_STRAIN, -0.2);
        two.put(Measure.TRUE_STRAIN, 0.4);
        one.put(Measure.MILLISECONDS, 9.0);
        two.put(Measure.MILLISECONDS, 7.0);
        one.put(Measure.KNOWN_SHARE, 0.5);
        CaseMeasures measures =
                new CaseMeasures(
                        Map.of(),
                        Double.NaN,
                        List.of(
                                new CaseMeasures.Pair(0, 1, one, Map.of("q", Double.NaN)),
                                new CaseMeasures.Pair(1, 2, two, Map.of("q", 0.5))),
                        List.of(),
                        List.of(),
                        List.of());
        assertEquals(Math.sqrt(12.5), measures.value(Measure.DISPLACEMENT_ERROR), 1e-12);
        assertEquals(0.3, measures.value(Measure.TRUE_STRAIN), 1e-12);
        assertEquals(7, measures.value(Measure.MILLISECONDS));
        assertEquals(0.5, measures.value(Measure.KNOWN_SHARE));
        assertEquals(Double.NaN, measures.value(Measure.RATIO_ERROR));
        assertEquals(0.5, measures.quality("q"));
    }

    /** Gaussian errors of the predicted deviation lie on the diagonal. */
    @Test
    void binsOfRightPredictionsLieOnTheDiagonal() {
        CalibrationBins bins = new CalibrationBins();
        Random random = new Random(5);
        for (int i = 0; i < 40_000; i++) {
            double deviation = Math.pow(10, -8 + 2 * random.nextDouble());
            bins.add(deviation, deviation * random.nextGaussian());
        }
        bins.add(Double.NaN, 1);
        bins.add(1e-3, Double.NaN);
        bins.add(1e-3, 1); // too few of them
        List<Bin> found = bins.bins();
        assertEquals(10, found.size());
        for (Bin bin : found) {
            assertEquals(1, bin.found() / bin.predicted(), 0.06);
        }
        assertEquals(40_000, found.stream().mapToDouble(Bin::count).sum());
    }
}
