package org.elasto.tracking.opticalflow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.GaussianWindow;
import org.junit.jupiter.api.Test;

class SmoothingResponseTest {

    private static final GaussianWindow NONE = new GaussianWindow(0, 0);

    /**
     * A smoothing spline's response 1 / (1 + p w^4) has the equivalent length 8 sqrt(2) / 3 times
     * the fourth root of p: the integral of (1 + x^4)^-2 over all x is 3 pi / (4 sqrt 2), by the
     * beta function.
     */
    @Test
    void aLineForItselfIsASmoothingSpline() {
        SmoothingResponse response = new SmoothingResponse(40, 0, NONE, NONE);
        double expected = Math.pow(40 * 3 / (8 * Math.sqrt(2)), 4);
        assertEquals(expected, response.weightAlong(), 0.02 * expected);
        assertEquals(40, response.length(), 0.01);
        assertEquals(1, response.width(), 1e-9);
    }

    /** The solver's answer to a single datum averages as far as the response says. */
    @Test
    void theImpulseResponseAveragesAsWanted() {
        int lines = 61;
        int length = 301;
        SmoothingResponse response = new SmoothingResponse(27, 4.5, NONE, NONE);
        float[] h = impulse(response, lines, length);
        double sum = 0;
        double squares = 0;
        for (float value : h) {
            sum += value;
            squares += (double) value * value;
        }
        assertEquals(1, sum, 1e-3);
        double cells = 27 * 4.5;
        assertEquals(cells, sum * sum / squares, 0.03 * cells);

        // White errors smoothed by h have the correlation of h with itself.
        for (int distance = 0; distance <= 40; distance += 5) {
            double product = 0;
            for (int i = 0; i + distance < h.length; i++) {
                boolean sameLine = i % length + distance < length;
                product += sameLine ? (double) h[i] * h[i + distance] : 0;
            }
            assertEquals(
                    response.errorCorrelation(distance), product / squares, 0.02, "" + distance);
        }
        for (int distance = 0; distance <= 8; distance++) {
            double product = 0;
            for (int i = 0; i + distance * length < h.length; i++) {
                product += (double) h[i] * h[i + distance * length];
            }
            assertEquals(
                    response.errorCorrelationAcross(distance),
                    product / squares,
                    0.02,
                    distance + " lines");
        }
    }

    private static float[] impulse(SmoothingResponse response, int lines, int length) {
        float[] data = new float[lines * length];
        data[lines / 2 * length + length / 2] = 1;
        float[] ones = new float[data.length];
        Arrays.fill(ones, 1f);
        float[] u = new float[data.length];
        new AlternatingSolver(
                        lines,
                        length,
                        response.weightAlong(),
                        response.weightAcross(),
                        Workers.sequential())
                .smooth(data, ones, ones, ones, u, 60);
        return u;
    }

    /**
     * What strain estimators are told about the errors' correlation lets them predict the deviation
     * of a least-squares slope, whatever the depth it is taken over.
     */
    @Test
    void theGaussianPredictsTheErrorOfASlope() {
        SmoothingResponse response =
                new SmoothingResponse(
                        30, 5, GaussianWindow.ofLength(9, 100), GaussianWindow.ofLength(1.5, 100));
        assertEquals(30, response.length(), 0.1);
        assertEquals(5, response.width(), 0.02);
        ErrorCorrelation told =
                new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, response.gaussianLength());
        for (int distance = 0; distance <= 21; distance += 3) {
            assertEquals(
                    response.errorCorrelation(distance), told.at(distance), 0.02, "" + distance);
        }
        for (int half = 6; half <= 48; half += 6) {
            double[] is = new double[2 * half + 1];
            for (int lag = 0; lag < is.length; lag++) {
                is[lag] = response.errorCorrelation(lag);
            }
            double variance = 0;
            double predicted = 0;
            for (int i = -half; i <= half; i++) {
                for (int j = -half; j <= half; j++) {
                    variance += i * j * is[Math.abs(i - j)];
                    predicted += i * j * told.at(i - j);
                }
            }
            assertEquals(1, Math.sqrt(predicted / variance), 0.05, "over " + (2 * half + 1));
        }
    }
}
