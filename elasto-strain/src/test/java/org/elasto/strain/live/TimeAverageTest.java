package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;

class TimeAverageTest {

    private static final StrainLayout LAYOUT =
            new StrainLayout(KnownMotion.SMALL, new RowGrid(110, 1e-3, 0.2e-3), false, 2e-3);
    private static final double HALF_LIFE = 0.4;

    private final MotionScout scout = new MotionScout(KnownMotion.SMALL, 2, Workers.sequential());
    private final TissuePath path = new TissuePath(scout, 0.3e-3);
    private final TimeAverage average =
            new TimeAverage(LAYOUT, scout, path, HALF_LIFE, 0.5, Workers.sequential());
    private final RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
    private final float[] value = planes.relative();
    private final float[] deviation = planes.deviation();
    private final boolean[] trusted = planes.trusted();

    /** Relative strain of 1 everywhere but for a stripe of another value. */
    private static RelativePlanes image(double stripe, int from, int to, double noise) {
        StrainImage image = new StrainImage(LAYOUT);
        int rows = LAYOUT.grid().rows();
        for (int at = 0; at < LAYOUT.planeSize(); at++) {
            int row = at % rows;
            image.axial()[at] = (float) (-0.01 * (row >= from && row < to ? stripe : 1));
            image.axialDeviation()[at] = (float) (0.01 * noise);
            image.trusted()[at] = true;
        }
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        relation.fitTo(image);
        assertTrue(relation.divideInto(planes));
        return planes;
    }

    private void read() {
        average.read(planes);
    }

    @Test
    void precisionAndAgeWeigh() {
        int at = 16 * LAYOUT.grid().rows() + 50;
        average.add(image(0.4, 45, 56, 0.1));
        average.age(HALF_LIFE);
        average.add(image(0.7, 45, 56, 0.2));
        read();
        // 1/s^2, the older one halved: 50 and 25.
        assertEquals((50 * 0.4 + 25 * 0.7) / 75, value[at], 2e-3);
        assertEquals(1 / Math.sqrt(75), deviation[at], 1e-3);
        average.age(2 * HALF_LIFE);
        read();
        assertEquals((50 * 0.4 + 25 * 0.7) / 75, value[at], 2e-3);
        assertEquals(2 / Math.sqrt(75), deviation[at], 2e-3);
        average.age(4 * HALF_LIFE);
        read();
        assertFalse(trusted[at], "too old to be sure of");
        assertTrue(Float.isNaN(value[at]));
    }

    @Test
    void longSilenceForgetsAndNewImagesCountInFull() {
        average.add(image(0.4, 45, 56, 0.1));
        for (int i = 0; i < 200; i++) {
            average.age(HALF_LIFE);
        }
        average.add(image(0.7, 45, 56, 0.1));
        read();
        int at = 50;
        assertEquals(0.7, value[at], 1e-3);
        assertEquals(0.1, deviation[at], 1e-3);
    }

    @Test
    void precisionThatNobodyHasIsNotBelieved() {
        average.add(image(0.4, 45, 56, 0.1));
        average.add(image(0.9, 45, 56, 1e-7));
        read();
        // Counted as 0.02: 100 and 2500.
        assertEquals((100 * 0.4 + 2500 * 0.9) / 2600, value[50], 3e-3);
    }

    @Test
    void whatIsNoLongerKnownFadesAtOnce() {
        average.add(image(0.4, 45, 56, 0.1));
        RelativePlanes blind = image(0.4, 45, 56, 0.1);
        int rows = LAYOUT.grid().rows();
        Arrays.fill(blind.trusted(), 0, 8 * rows, false);
        for (int i = 0; i < 6; i++) {
            average.add(blind);
        }
        read();
        assertFalse(trusted[4 * rows + 50]);
        assertTrue(trusted[20 * rows + 50]);
    }

    @Test
    void clearForgets() {
        average.add(image(0.4, 45, 56, 0.1));
        average.clear();
        read();
        for (boolean each : trusted) {
            assertFalse(each);
        }
    }

    @Test
    void tissueIsFollowedDownAndAside() {
        // Tissue at 20 mm moves up by 0.6 mm and two lines to the right, in steps.
        int frames = 21;
        double[] press = new double[frames];
        double[] drift = new double[frames];
        for (int i = 0; i < frames; i++) {
            press[i] = 0.03 * i / (frames - 1);
            drift[i] = 0.6e-3 * i / (frames - 1);
        }
        Phantom phantom =
                KnownMotion.builder("uniform", frames, 0).press(press).drift(drift).build();
        int rows = LAYOUT.grid().rows();
        // A stripe from 18 to 20 mm.
        RelativePlanes stripe = image(0.5, 85, 95, 0.1);
        Arrays.fill(stripe.relative(), 0, 10 * rows, 1f);
        RfFrame frame = phantom.newFrame();
        phantom.read(0, frame);
        scout.take(0, frame);
        average.add(stripe);
        for (int i = 1; i < frames; i++) {
            phantom.read(i, frame);
            scout.take(i % 2, frame);
            scout.compare(1 - i % 2, i % 2, 0);
            path.advance();
            average.followSideways();
        }
        read();
        int line = 25;
        double[] place = new double[2];
        double depthNow = LAYOUT.grid().firstDepth() + 84.5 * 0.2e-3;
        phantom.place(frames - 1, 0, depthNow, place);
        double begins = Double.NaN;
        for (int row = 1; row < rows && Double.isNaN(begins); row++) {
            float above = value[line * rows + row - 1];
            float here = value[line * rows + row];
            if (above >= 0.75 && here < 0.75) {
                begins = LAYOUT.grid().depth(row - 1 + (above - 0.75) / (above - here));
            }
        }
        // To a quarter of a row.
        assertEquals(place[1], begins, 50e-6, "upper edge of the stripe");
        assertEquals(depthNow - 0.53e-3, begins, 60e-6, "about 3 % higher");
        // The stripe's side, at line 10, has gone two lines to the right.
        int middle = LAYOUT.grid().rows() * 11 + 87;
        assertEquals(1, value[middle], 1e-3);
        assertEquals(0.5, value[middle + rows], 0.05);
    }

    /** The average place by place, as it is described; exact, since each is the same sum. */
    private final class PlainAverage {

        final RowGrid now = LAYOUT.grid();
        final RowGrid then = average.grid();
        final float[][] places = new float[scout.groups()][then.rows()];
        final float[][] origins = new float[scout.groups()][now.rows()];
        final float[] weight = new float[LAYOUT.geometry().lines() * then.rows()];
        final float[] sum = new float[weight.length];

        float placeAt(float[][] ofGroups, int line, int row) {
            int g = 0;
            while (g < scout.groups() - 2 && scout.lineOfGroup(g + 1) < line) {
                g++;
            }
            double from = scout.lineOfGroup(g);
            double share = (line - from) / (scout.lineOfGroup(g + 1) - from);
            float bounded = (float) Math.max(0, Math.min(1, share));
            return ofGroups[g][row] + bounded * (ofGroups[g + 1][row] - ofGroups[g][row]);
        }

        void add(RelativePlanes image, float gain) {
            for (int g = 0; g < places.length; g++) {
                path.places(g, then, now, places[g]);
            }
            for (int at = 0; at < weight.length; at++) {
                int line = at / then.rows();
                float place = placeAt(places, line, at % then.rows());
                int above = (int) Math.floor(place);
                int i = line * now.rows() + above;
                boolean known =
                        above >= 0
                                && above < now.rows() - 1
                                && image.trusted()[i]
                                && image.trusted()[i + 1];
                if (known) {
                    float f = place - above;
                    float[] r = image.relative();
                    float[] s = image.deviation();
                    float deviation = Math.max(s[i] + f * (s[i + 1] - s[i]), 0.02f);
                    float w = gain / (deviation * deviation);
                    weight[at] += w;
                    sum[at] += w * (r[i] + f * (r[i + 1] - r[i]));
                } else {
                    weight[at] /= 2;
                    sum[at] /= 2;
                }
            }
        }

        void check(float scale) {
            for (int g = 0; g < origins.length; g++) {
                path.origins(g, now, then, origins[g]);
            }
            int known = 0;
            for (int at = 0; at < value.length; at++) {
                int line = at / now.rows();
                float place = placeAt(origins, line, at % now.rows());
                int above = (int) Math.floor(place);
                int i = line * then.rows() + above;
                float v = Float.NaN;
                float s = Float.NaN;
                if (above >= 0 && above < then.rows() - 1 && weight[i] > 0 && weight[i + 1] > 0) {
                    float f = place - above;
                    float w = weight[i] + f * (weight[i + 1] - weight[i]);
                    if (w >= 4 / scale) {
                        v = (sum[i] + f * (sum[i + 1] - sum[i])) / w;
                        s = 1 / (float) Math.sqrt(w * scale);
                        known++;
                    }
                }
                assertEquals(v, value[at], "place " + at);
                assertEquals(s, deviation[at], "place " + at);
                assertEquals(!Float.isNaN(v), trusted[at], "place " + at);
            }
            assertTrue(known > value.length / 2, "known places: " + known);
        }
    }

    @Test
    void everyPlaceIsItsOwnAverage() {
        int frames = 5;
        double[] press = {0, 0.01, 0.005, 0.02, 0.03};
        Phantom phantom = KnownMotion.builder("uniform", frames, 0).press(press).build();
        PlainAverage plain = new PlainAverage();
        Random random = new Random(5);
        RfFrame frame = phantom.newFrame();
        double scale = 1;
        for (int i = 0; i < frames; i++) {
            phantom.read(i, frame);
            scout.take(i % 2, frame);
            if (i > 0) {
                scout.compare(1 - i % 2, i % 2, 0);
                path.advance();
                average.followSideways();
            }
            RelativePlanes image = image(0.5 + 0.1 * i, 30, 60, 0.05 + 0.1 * i);
            for (int at = 0; at < image.trusted().length; at++) {
                if (random.nextInt(10) == 0) {
                    image.trusted()[at] = false;
                    image.relative()[at] = Float.NaN;
                    image.deviation()[at] = Float.NaN;
                } else if (random.nextInt(10) == 0) {
                    image.relative()[at] *= 2;
                    image.deviation()[at] *= random.nextFloat();
                }
            }
            average.age(0.1);
            // Nothing ages before there is something.
            scale *= i == 0 ? 1 : Math.pow(0.5, 0.1 / HALF_LIFE);
            average.add(image);
            plain.add(image, (float) (1 / scale));
            read();
            plain.check((float) scale);
        }
    }
}
