package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;

/** Interpolated tones against tones in closed form. */
class FractionalShiftTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(24, 400, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final double WAVELENGTH = GEOMETRY.wavelength();

    private final BasebandFrame frame = new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
    private final int size = frame.lines * frame.length;
    private final float[] u = new float[size];
    private final float[] v = new float[size];
    private final float[] re = new float[size];
    private final float[] im = new float[size];
    private final Random random = new Random(7);

    /** A tone of a frequency along the line (cycles a sample) and one across (cycles a line). */
    private void fill(double along, double across) {
        for (int line = 0; line < frame.lines; line++) {
            for (int n = 0; n < frame.length; n++) {
                double angle = 2 * Math.PI * (along * n + across * line);
                int at = line * frame.stride + BasebandFrame.MARGIN + n;
                frame.re[at] = (float) Math.cos(angle);
                frame.im[at] = (float) Math.sin(angle);
            }
        }
    }

    /** Random displacements of up to two samples and two lines. */
    private void move() {
        for (int i = 0; i < size; i++) {
            u[i] = (float) (4 * (random.nextDouble() - 0.5) * frame.spacing);
            v[i] = (float) (4 * (random.nextDouble() - 0.5));
        }
    }

    /** Greatest error of the warped tone away from the edges, in dB of the tone. */
    private double error(double along, double across, boolean lateral) {
        double greatest = 0;
        for (int line = 6; line < frame.lines - 6; line++) {
            int to = line * frame.length;
            if (lateral) {
                FractionalShift.warp(frame, line, u, v, WAVELENGTH, re, im, to);
            } else {
                FractionalShift.warp(frame, line, u, WAVELENGTH, re, im, to);
            }
            for (int n = 12; n < frame.length - 12; n++) {
                double x = n + u[to + n] / frame.spacing;
                double y = line + (lateral ? v[to + n] : 0);
                double angle =
                        2 * Math.PI * (along * x + across * y)
                                + 4 * Math.PI * u[to + n] / WAVELENGTH;
                greatest =
                        Math.max(
                                greatest,
                                Math.hypot(
                                        re[to + n] - Math.cos(angle),
                                        im[to + n] - Math.sin(angle)));
            }
        }
        return 20 * Math.log10(greatest);
    }

    @Test
    void alongTheLineTheErrorStaysBelow50Decibels() {
        move();
        double worst = -200;
        for (double f = -0.32; f <= 0.3201; f += 0.02) {
            fill(f, 0);
            double e = error(f, 0, false);
            assertTrue(e < -50, "error " + e + " dB at " + f + " cycles a sample");
            worst = Math.max(worst, e);
        }
        System.out.printf("interpolation along the line: at worst %.1f dB%n", worst);
        // Beyond the band the taps are not meant to work: the measurement sees an error.
        fill(0.4, 0);
        assertTrue(error(0.4, 0, false) > -30);
    }

    @Test
    void acrossTheLinesTheErrorStaysBelow40Decibels() {
        move();
        double worst = -200;
        for (double f = -0.27; f <= 0.2701; f += 0.03) {
            fill(0.1, f);
            worst = Math.max(worst, error(0.1, f, true));
        }
        System.out.printf(
                "interpolation across the lines: at worst %.1f dB to 0.27 cycles a line%n", worst);
        assertTrue(worst < -40, "error " + worst + " dB up to 0.27 cycles a line");
        fill(0.1, 0.45);
        assertTrue(error(0.1, 0.45, true) > -20);
    }

    /** Near the outermost lines the six that there are must do. */
    @Test
    void nearTheOutermostLinesABeamIsStillRead() {
        for (double f = -0.1; f <= 0.1001; f += 0.05) {
            fill(0.1, f);
            java.util.Arrays.fill(u, 0f);
            for (float place = 0; place < 3; place += 0.1f) {
                java.util.Arrays.fill(v, place);
                for (int edge = 0; edge < 2; edge++) {
                    int line = edge == 0 ? 0 : frame.lines - 1;
                    double y = edge == 0 ? place : line - place;
                    java.util.Arrays.fill(v, (float) (y - line));
                    int to = line * frame.length;
                    FractionalShift.warp(frame, line, u, v, WAVELENGTH, re, im, to);
                    double angle = 2 * Math.PI * (0.1 * 50 + f * y);
                    double error =
                            Math.hypot(
                                    re[to + 50] - Math.cos(angle), im[to + 50] - Math.sin(angle));
                    assertTrue(error < 0.02, "error " + error + " at line " + y + ", " + f);
                }
            }
        }
    }

    @Test
    void wholeStepsAreExactAndNothingLiesBeyondTheFrame() {
        fill(0.17, 0.11);
        java.util.Arrays.fill(u, (float) frame.spacing);
        java.util.Arrays.fill(v, 1f);
        assertTrue(error(0.17, 0.11, true) < -90);
        // The last line's neighbour does not exist.
        int last = (frame.lines - 1) * frame.length;
        FractionalShift.warp(frame, frame.lines - 1, u, v, WAVELENGTH, re, im, last);
        for (int n = 0; n < frame.length; n++) {
            assertEquals(0, Math.hypot(re[last + n], im[last + n]), 1e-6);
        }
        java.util.Arrays.fill(u, 1e-2f);
        FractionalShift.warp(frame, 3, u, WAVELENGTH, re, im, 3 * frame.length);
        assertEquals(0, Math.hypot(re[4 * frame.length - 1], im[4 * frame.length - 1]), 0);
    }
}
