package org.elasto.conformance;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.NoParameters;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;

/** An honest strain estimator, written to be read, that passes the kit. */
public final class PlainSlopeProvider implements StrainEstimatorProvider<NoParameters> {

    private static final double DEPTH = 2.4e-3;

    /** For the service loader. */
    public PlainSlopeProvider() {}

    @Override
    public String name() {
        return "plain-slope";
    }

    @Override
    public String summary() {
        return "slope of the least-squares line through all rows of a window";
    }

    @Override
    public String source() {
        return "Kallel & Ophir, Ultrasonic Imaging 19:195-208, 1997";
    }

    @Override
    public NoParameters defaults() {
        return new NoParameters();
    }

    @Override
    public StrainEstimator create(NoParameters config, FieldLayout field, Workers workers) {
        return new Estimator(field, workers);
    }

    private static final class Estimator implements StrainEstimator {
        private final FieldLayout field;
        private final Workers workers;
        private final StrainLayout layout;
        private final int half;
        private final double[] slope;
        private final double[] errors;
        private final Workers.Task fit = this::fitLine;
        private DisplacementField in;
        private StrainImage out;

        Estimator(FieldLayout field, Workers workers) {
            this.field = field;
            this.workers = workers;
            double spacing = field.grid().spacing();
            half = (int) Math.round(DEPTH / spacing / 2);
            if (half < 1 || 2 * half + 1 > field.grid().rows()) {
                throw new IllegalArgumentException(
                        "a window of "
                                + DEPTH
                                + " m does not fit "
                                + field.grid().rows()
                                + " rows, "
                                + spacing
                                + " m apart");
            }
            slope = new double[2 * half + 1];
            double sum = half * (half + 1.0) * (2 * half + 1) / 3;
            for (int k = -half; k <= half; k++) {
                slope[half + k] = k / (sum * spacing);
            }
            errors = new double[2 * half + 1];
            for (int d = 0; d < errors.length; d++) {
                errors[d] = field.axialErrors().at(d * spacing);
            }
            layout = new StrainLayout(field.geometry(), field.grid(), false, rise() * spacing);
        }

        /** Rows from 10 % to 90 % of the answer to a step of strain between two rows. */
        private double rise() {
            int steps = 2000;
            double ten = Double.NaN;
            double ninety = Double.NaN;
            for (int i = -steps; i <= steps && Double.isNaN(ninety); i++) {
                double edge = (half + 1.0) * i / steps;
                double response = 0;
                for (int k = -half; k <= half; k++) {
                    response += slope[half + k] / slope[half + 1] * Math.max(0, k + edge);
                }
                double all = half * (half + 1.0) * (2 * half + 1) / 3;
                double share = response / all;
                ten = Double.isNaN(ten) && share >= 0.1 ? edge : ten;
                ninety = share >= 0.9 ? edge : Double.NaN;
            }
            return ninety - ten;
        }

        @Override
        public StrainLayout layout() {
            return layout;
        }

        @Override
        public void estimate(DisplacementField newIn, StrainImage newOut) {
            Check.same("layout of the field", newIn.layout(), field);
            Check.same("layout of the image", newOut.layout(), layout);
            in = newIn;
            out = newOut;
            workers.run(field.geometry().lines(), fit);
            in = null;
            out = null;
        }

        private void fitLine(int line, int worker) {
            int rows = field.grid().rows();
            for (int row = 0; row < rows; row++) {
                int at = line * rows + row;
                out.axial()[at] = Float.NaN;
                out.axialDeviation()[at] = Float.NaN;
                out.trusted()[at] = false;
                if (row >= half && row + half < rows && isKnown(at)) {
                    fit(at);
                }
            }
        }

        private boolean isKnown(int at) {
            for (int k = -half; k <= half; k++) {
                if (!FieldRules.isKnown(in, at + k)) {
                    return false;
                }
            }
            return true;
        }

        private void fit(int at) {
            double strain = 0;
            double variance = 0;
            for (int i = -half; i <= half; i++) {
                strain += slope[half + i] * in.axial()[at + i];
                double a = slope[half + i] * in.axialDeviation()[at + i];
                for (int j = -half; j <= half; j++) {
                    double b = slope[half + j] * in.axialDeviation()[at + j];
                    variance += a * b * errors[Math.abs(i - j)];
                }
            }
            out.axial()[at] = (float) strain;
            out.axialDeviation()[at] = (float) Math.sqrt(Math.max(0, variance));
            out.trusted()[at] = out.axialDeviation()[at] < 1e-3f;
        }
    }
}
