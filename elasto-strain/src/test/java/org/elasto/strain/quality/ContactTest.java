package org.elasto.strain.quality;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;

/** Frames with and without tissue before the probe. */
class ContactTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(60, 1500, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final RowGrid GRID = new RowGrid(140, 0.5e-3, 0.2e-3);

    private static double score(RfFrame frame, String parameters, float[] map) {
        return score(frame, frame, parameters, map);
    }

    private static double score(RfFrame frame, RfFrame moved, String parameters, float[] map) {
        FieldLayout field =
                new FieldLayout(frame.geometry(), GRID, false, ErrorCorrelation.INDEPENDENT);
        StrainLayout strain = new StrainLayout(frame.geometry(), GRID, false, 1e-3);
        return Catalogue.create(
                        Catalogue.qualityMetrics().get("contact"),
                        parameters,
                        field,
                        strain,
                        Workers.sequential())
                .score(frame, moved, new DisplacementField(field), new StrainImage(strain), map);
    }

    private static double score(RfFrame frame) {
        return score(frame, "", null);
    }

    private static Phantom.Builder phantom(ScanGeometry geometry, long seed) {
        return Phantom.builder().geometry(geometry).seed(seed).sampleType(SampleType.FLOAT32);
    }

    private static RfFrame read(Phantom phantom) {
        RfFrame frame = phantom.newFrame();
        phantom.read(0, frame);
        return frame;
    }

    private interface Sample {
        double at(int line, double depth);
    }

    private static RfFrame frame(ScanGeometry geometry, Sample sample) {
        RfFrame frame = RfFrame.allocate(geometry, SampleType.FLOAT32);
        float[] line = new float[geometry.samples()];
        for (int l = 0; l < geometry.lines(); l++) {
            for (int n = 0; n < line.length; n++) {
                line[n] = (float) sample.at(l, geometry.depthOfSample(n));
            }
            frame.writeLine(l, line, 0);
        }
        return frame;
    }

    @Test
    void tissueIsHeardAtAnyFrequencyAndNoise() {
        for (double frequency : new double[] {3e6, 5e6, 7.5e6, 10e6}) {
            for (double decibels : new double[] {10, 20, 35}) {
                ScanGeometry g = ScanGeometry.linear(60, 1500, 40e6, frequency, 1540, 0, 4e-4, 50);
                RfFrame frame = read(phantom(g, 3).noise(decibels, 15e-3).build());
                double score = score(frame);
                assertTrue(score > 0.95, frequency + " Hz, " + decibels + " dB: " + score);
            }
        }
    }

    @Test
    void tissueIsHeardIntegersAndLowSamplingToo() {
        ScanGeometry g = ScanGeometry.linear(60, 1000, 25e6, 6e6, 1540, 1e-3, 3e-4, 50);
        Phantom phantom = phantom(g, 4).sampleType(SampleType.INT16).build();
        assertTrue(score(read(phantom)) > 0.95);
    }

    @Test
    void silenceNoiseAndConstantsAreNoTissue() {
        Random random = new Random(5);
        assertEquals(0, score(frame(GEOMETRY, (l, z) -> 0)));
        assertEquals(0, score(frame(GEOMETRY, (l, z) -> 500)));
        assertEquals(0, score(frame(GEOMETRY, (l, z) -> Double.NaN)));
        assertEquals(0, score(frame(GEOMETRY, (l, z) -> Double.POSITIVE_INFINITY)));
        double noise = score(frame(GEOMETRY, (l, z) -> 90 * random.nextGaussian()));
        assertTrue(noise < 0.01, "noise " + noise);
    }

    @Test
    void airIsNoTissueAndHalfOfItIsHalf() {
        Phantom air = phantom(GEOMETRY, 6).lostContact(LostContact.allLines(0, 0)).build();
        double none = score(read(air));
        assertTrue(none < 0.01, "air " + none);
        Phantom half = phantom(GEOMETRY, 6).lostContact(new LostContact(0, 0, 30, 99)).build();
        float[] map = new float[60 * GRID.rows()];
        assertEquals(0.5, score(read(half), "", map), 0.06);
        int row = (int) GRID.rowAt(15e-3);
        assertEquals(1, map[10 * GRID.rows() + row]);
        assertEquals(0, map[50 * GRID.rows() + row]);
        Phantom most = phantom(GEOMETRY, 6).lostContact(new LostContact(0, 0, 50, 99)).build();
        assertEquals(5 / 6.0, score(read(most)), 0.06);
    }

    @Test
    void theWorseFrameCounts() {
        RfFrame whole = read(phantom(GEOMETRY, 6).build());
        RfFrame half =
                read(phantom(GEOMETRY, 6).lostContact(new LostContact(0, 0, 30, 99)).build());
        RfFrame otherHalf =
                read(phantom(GEOMETRY, 6).lostContact(new LostContact(0, 0, 0, 29)).build());
        assertEquals(0.5, score(whole, half, "", null), 0.06);
        assertEquals(score(half, whole, "", null), score(whole, half, "", null));
        assertEquals(0, score(half, otherHalf, "", null), 0.06);
    }

    /** A probe that rings far down: a decaying tone or its repetitions, the same on all lines. */
    @Test
    void longRingingIsNoTissue() {
        Random random = new Random(7);
        double perMetre = 4 * Math.PI / GEOMETRY.wavelength();
        double tone =
                score(
                        frame(
                                GEOMETRY,
                                (l, z) ->
                                        20000 * Math.exp(-z / 6e-3) * Math.cos(perMetre * z)
                                                + 50 * random.nextGaussian()));
        assertTrue(tone < 0.05, "tone " + tone);
        double repeated =
                score(
                        frame(
                                GEOMETRY,
                                (l, z) -> {
                                    double d = (z % 1.5e-3 - 0.75e-3) / 0.15e-3;
                                    return 8000
                                                    * Math.exp(-z / 15e-3 - d * d)
                                                    * Math.cos(perMetre * z)
                                            + 20 * random.nextGaussian();
                                }));
        assertTrue(repeated < 0.05, "repetitions " + repeated);
    }

    /** Echoes that end half-way between the blind and the full depth. */
    @Test
    void depthReachedCounts() {
        Random random = new Random(8);
        RfFrame tissue = read(phantom(GEOMETRY, 8).build());
        float[] line = new float[GEOMETRY.samples()];
        int end = (int) GEOMETRY.sampleAtDepth(12e-3);
        for (int l = 0; l < 60; l++) {
            tissue.readLine(l, line, 0);
            for (int n = end; n < line.length; n++) {
                line[n] = (float) (90 * random.nextGaussian());
            }
            tissue.writeLine(l, line, 0);
        }
        float[] map = new float[60 * GRID.rows()];
        assertEquals(0.5, score(tissue, "", map), 0.05);
        assertEquals(1, score(tissue, "full-depth=12e-3", null), 0.05);
        assertEquals(1, map[30 * GRID.rows() + (int) GRID.rowAt(9e-3)]);
        assertEquals(0, map[30 * GRID.rows() + (int) GRID.rowAt(15e-3)]);
        assertEquals(0, map[30 * GRID.rows()], "above the blind depth");
    }

    /** Noise behind a filter around the centre frequency is only told by its level. */
    @Test
    void noiseOfTheBandNeedsItsLevel() {
        Random random = new Random(9);
        double[] cos = {0};
        double[] sin = {0};
        double perSample = 2 * Math.PI * GEOMETRY.centreFrequency() / GEOMETRY.samplingFrequency();
        double[] n = {0};
        RfFrame noise =
                frame(
                        GEOMETRY,
                        (l, z) -> {
                            cos[0] += 0.1 * (random.nextGaussian() - cos[0]);
                            sin[0] += 0.1 * (random.nextGaussian() - sin[0]);
                            double angle = perSample * n[0]++;
                            return 200 * (cos[0] * Math.cos(angle) + sin[0] * Math.sin(angle));
                        });
        float[] line = new float[GEOMETRY.samples()];
        noise.readLine(0, line, 0);
        double level = 0;
        for (float v : line) {
            level += v * v / line.length;
        }
        level = Math.sqrt(level);
        assertTrue(score(noise) > 0.5);
        assertTrue(score(noise, "noise-level=" + level, null) < 0.02);
        RfFrame tissue = read(phantom(GEOMETRY, 9).build());
        assertTrue(score(tissue, "noise-level=" + level, null) > 0.95);
    }

    @Test
    void nothingToLookAtHasNoScore() {
        ScanGeometry shallow = ScanGeometry.linear(60, 100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        assertTrue(Double.isNaN(score(RfFrame.allocate(shallow, SampleType.INT16))));
    }

    @Test
    void oneLineIsEnough() {
        ScanGeometry single = ScanGeometry.linear(1, 1500, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        assertTrue(score(read(phantom(single, 3).build())) > 0.9);
    }

    @Property(tries = 10, seed = "41")
    void gainAndSignDoNotMatter(@ForAll @DoubleRange(min = -10, max = 10) double gain) {
        double factor = Math.abs(gain) < 0.01 ? 0.01 : gain;
        RfFrame tissue =
                read(phantom(GEOMETRY, 2).lostContact(new LostContact(0, 0, 40, 99)).build());
        float[] line = new float[GEOMETRY.samples()];
        double before = score(tissue);
        for (int l = 0; l < 60; l++) {
            tissue.readLine(l, line, 0);
            for (int n = 0; n < line.length; n++) {
                line[n] *= (float) factor;
            }
            tissue.writeLine(l, line, 0);
        }
        assertEquals(before, score(tissue), 0.011);
    }
}
