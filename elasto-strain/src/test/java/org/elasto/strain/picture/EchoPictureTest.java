package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.apache.commons.math3.stat.descriptive.SummaryStatistics;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class EchoPictureTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(8, 4000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static EchoPicture picture(String config) {
        return new EchoPicture(
                PictureConfig.schema().parse(PictureConfig.DEFAULTS, config),
                GEOMETRY,
                Workers.sequential());
    }

    private static float[] tone(double amplitude) {
        float[] samples = new float[8 * 4000];
        for (int i = 0; i < samples.length; i++) {
            double t = (i % 4000) / 40e6;
            samples[i] = (float) (amplitude * Math.cos(2 * Math.PI * 7.5e6 * t + 1));
        }
        return samples;
    }

    private static float level(EchoPicture picture, double depth) {
        return picture.levels()[
                3 * picture.grid().rows() + (int) Math.round(picture.grid().rowAt(depth))];
    }

    /** The envelope of a tone is its amplitude; 20 dB are a factor of ten. */
    @Test
    void levelIsLogarithmOfAmplitude() {
        EchoPicture picture = picture("dynamic-range=50,full-scale=1000");
        for (double amplitude : new double[] {1000, 100, 31.6227766, 10}) {
            picture.update(RfFrame.of(GEOMETRY, tone(amplitude)));
            double expected = 1 + 20 * Math.log10(amplitude / 1000) / 50;
            assertEquals(expected, level(picture, 40e-3), 1e-3);
        }
        picture.update(RfFrame.of(GEOMETRY, tone(1e6)));
        assertEquals(1f, level(picture, 40e-3));
        picture.update(RfFrame.of(GEOMETRY, tone(1)));
        assertEquals(0f, level(picture, 40e-3));
    }

    @Test
    void depthGainBrightensWithDepth() {
        EchoPicture picture = picture("dynamic-range=50,full-scale=1000,depth-gain=200");
        picture.update(RfFrame.of(GEOMETRY, tone(10)));
        // 200 dB/m over 30 mm are 6 dB.
        double rise = level(picture, 50e-3) - level(picture, 20e-3);
        assertEquals(6 / 50.0, rise, 2e-3);
    }

    /**
     * Burckhardt, IEEE Trans Sonics Ultrason 25(1):1-6, 1978: the envelope of fully developed
     * speckle is Rayleigh distributed, its mean over its standard deviation sqrt(pi / (4 - pi)) =
     * 1.913.
     */
    @Test
    void speckleIsRayleigh() {
        Random random = new Random(31);
        float[] samples = new float[8 * 4000];
        for (int i = 0; i < samples.length; i++) {
            samples[i] = (float) random.nextGaussian();
        }
        EchoPicture picture = picture("dynamic-range=120,full-scale=1000");
        picture.update(RfFrame.of(GEOMETRY, samples));
        SummaryStatistics envelope = new SummaryStatistics();
        for (float level : picture.levels()) {
            envelope.addValue(Math.pow(10, level * 120 / 20));
        }
        // Some 4000 independent values: 1 / sqrt(4000) is 1.6 %, of which three.
        double ratio = envelope.getMean() / envelope.getStandardDeviation();
        assertEquals(Math.sqrt(Math.PI / (4 - Math.PI)), ratio, 0.05 * 1.913);
    }

    @Test
    void automaticFullScaleFollowsTheFrame() {
        EchoPicture picture = picture("");
        picture.update(RfFrame.of(GEOMETRY, tone(10)));
        float before = level(picture, 40e-3);
        // A power of two: levels are counted in places within octaves, to 0.034 dB.
        picture.update(RfFrame.of(GEOMETRY, tone(10 * 1024)));
        assertEquals(before, level(picture, 40e-3), 1e-4);
        // An even frame lies in the middle of the scale.
        assertEquals(0.5, before, 0.01);
    }

    /** What pictures of linear arrays are painted from, against the exact levels. */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                "dynamic-range=120",
                "dynamic-range=10,depth-gain=300",
                "full-scale=30",
                "full-scale=1e9,depth-gain=4000"
            })
    void greysAreTheLevelsToATenth(String config) {
        EchoPicture picture = picture(config);
        Random random = new Random(32);
        float[] samples = new float[8 * 4000];
        for (int i = 0; i < samples.length; i++) {
            samples[i] = i % 4000 < 1000 ? 0 : (float) (random.nextGaussian() * i / 4000);
        }
        picture.update(RfFrame.of(GEOMETRY, samples));
        int rows = picture.grid().rows();
        int[] greys = new int[8 * rows];
        for (int line = 0; line < 8; line++) {
            // Row after row, and two parts.
            picture.greys(line, 0, 300, greys, line, 8);
            picture.greys(line, 300, rows - 300, greys, 300 * 8 + line, 8);
        }
        int between = 0;
        float[] levels = picture.levels();
        // A step of the table is up to 0.017 dB, its middle half of that away.
        double step = config.contains("dynamic-range=10,") ? 0.25 : 0.1;
        for (int i = 0; i < levels.length; i++) {
            double grey = (double) greys[i % rows * 8 + i / rows] / GreyTable.STEPS;
            assertEquals(levels[i] * 255 + 0.5, grey, step);
            between += levels[i] > 0 && levels[i] < 1 ? 1 : 0;
        }
        assertTrue(between > 200, "between black and white: " + between);
    }

    @Test
    void silenceAndBadSamplesAreBlack() {
        EchoPicture picture = picture("");
        float[] samples = new float[8 * 4000];
        picture.update(RfFrame.of(GEOMETRY, samples));
        for (float level : picture.levels()) {
            assertEquals(0f, level);
        }
        Arrays.fill(samples, Float.NaN);
        picture.update(RfFrame.of(GEOMETRY, samples));
        for (float level : picture.levels()) {
            assertEquals(0f, level);
        }
    }

    @Test
    void refusesOtherGeometries() {
        ScanGeometry other = ScanGeometry.linear(9, 4000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> picture("").update(RfFrame.of(other, new float[9 * 4000])))
                        .getMessage();
        assertTrue(message.contains("lines=9") && message.contains("lines=8"), message);
    }
}
