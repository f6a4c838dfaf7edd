package org.elasto.conformance;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.signal.BasebandConverter;

/**
 * For every row: the whole lag of baseband samples at which rectangular windows of both frames
 * match best, the cycle nearest to the peak of the match, and three refinements by the phase, each
 * after the window of the second frame has been moved by what is known so far.
 */
final class PlainPhaseEstimator implements DisplacementEstimator {

    private static final double BANDWIDTH = 0.8;
    private static final double LEAST_CORRELATION = 0.6;

    /** Band of the echo that the predicted deviation assumes. */
    private static final double ECHO_BANDWIDTH = 0.6;

    private static final int ROW_STEP = 4;
    private static final int TAPS = 8;

    private final PlainPhaseConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int length;
    private final int half;
    private final int lags;
    private final double spacing;
    private final Baseband reference;
    private final Baseband moved;
    private final Matcher[] matchers;
    private final double[] lineEnergy;
    private final Workers.Task convert = this::convertLine;
    private final Workers.Task match = this::matchLine;
    private RfFrame first;
    private RfFrame second;
    private DisplacementField out;
    private double meanEnergy;

    private static final class Baseband {
        final float[] re;
        final float[] im;
        final float[] flaws;

        Baseband(int size) {
            re = new float[size];
            im = new float[size];
            flaws = new float[size];
        }
    }

    PlainPhaseEstimator(PlainPhaseConfig config, ScanGeometry geometry, Workers workers) {
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        double band = BANDWIDTH * geometry.centreFrequency();
        int decimation = BasebandConverter.decimationFor(geometry, band);
        matchers = new Matcher[workers.count()];
        for (int i = 0; i < matchers.length; i++) {
            matchers[i] = new Matcher(new BasebandConverter(geometry, band, decimation));
        }
        length = matchers[0].converter.length();
        spacing = matchers[0].converter.sampleSpacing();
        half = (int) Math.round(config.windowLength() / spacing / 2);
        lags = (int) Math.ceil(config.searchRange() / spacing);
        if (2 * half + 1 > length) {
            throw new IllegalArgumentException(
                    "window-length is "
                            + config.windowLength()
                            + " m; the frame is only "
                            + (geometry.lastDepth() - geometry.firstDepth())
                            + " m deep");
        }
        for (Matcher matcher : matchers) {
            matcher.magnitudes = new double[2 * lags + 1];
        }
        layout =
                new FieldLayout(
                        geometry,
                        new RowGrid(
                                (length - 1) / ROW_STEP + 1,
                                geometry.firstDepth(),
                                ROW_STEP * spacing),
                        false,
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.TRIANGULAR, (2 * half + 1) * spacing));
        reference = new Baseband(geometry.lines() * length);
        moved = new Baseband(geometry.lines() * length);
        lineEnergy = new double[geometry.lines()];
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    public void estimate(RfFrame referenceFrame, RfFrame movedFrame, DisplacementField field) {
        Check.same("geometry of the first frame", referenceFrame.geometry(), geometry);
        Check.same("geometry of the second frame", movedFrame.geometry(), geometry);
        Check.same("layout of the field", field.layout(), layout);
        first = referenceFrame;
        second = movedFrame;
        out = field;
        workers.run(geometry.lines(), convert);
        meanEnergy = 0;
        for (double energy : lineEnergy) {
            meanEnergy += energy / geometry.lines();
        }
        workers.run(geometry.lines(), match);
        first = null;
        second = null;
        out = null;
    }

    private void convertLine(int line, int worker) {
        BasebandConverter converter = matchers[worker].converter;
        int at = line * length;
        converter.convert(first, line, reference.re, reference.im, at, reference.flaws, at);
        converter.convert(second, line, moved.re, moved.im, at, moved.flaws, at);
        double energy = 0;
        for (int n = at; n < at + length; n++) {
            energy +=
                    (double) reference.re[n] * reference.re[n]
                            + (double) reference.im[n] * reference.im[n];
        }
        lineEnergy[line] = energy / length;
    }

    private void matchLine(int line, int worker) {
        int rows = layout.grid().rows();
        for (int row = 0; row < rows; row++) {
            int n = row * ROW_STEP;
            if (n < half || n + half >= length) {
                out.markUnknown(line * rows + row);
            } else {
                matchers[worker].match(line, n, line * rows + row);
            }
        }
    }

    /** Work of one worker on one window at a time. */
    private final class Matcher {
        final BasebandConverter converter;
        final double[] weights = new double[TAPS];
        double[] magnitudes;
        double re;
        double im;
        double correlation2;

        Matcher(BasebandConverter converter) {
            this.converter = converter;
        }

        void match(int line, int n, int to) {
            if (flawed(line, n)) {
                out.markUnknown(to);
                return;
            }
            double u = coarse(line, n);
            for (int step = 0; step < 3; step++) {
                compare(line, n, u);
                u -= Math.atan2(im, re) * geometry.wavelength() / (4 * Math.PI);
            }
            compare(line, n, u);
            // False for NaN as well.
            boolean known =
                    correlation2 >= LEAST_CORRELATION * LEAST_CORRELATION
                            && Math.abs(u) <= (lags + 1) * spacing;
            if (!known) {
                out.markUnknown(to);
                return;
            }
            double r2 = Math.min(1, correlation2);
            out.axial()[to] = (float) u;
            out.correlation()[to] = (float) Math.sqrt(r2);
            out.axialDeviation()[to] = (float) Math.max(1e-10, deviation(line, r2));
        }

        /** The phase of N independent samples of correlation r, Walker and Trahey 1995. */
        private double deviation(int line, double r2) {
            int lines =
                    Math.min(geometry.lines() - 1, line + config.sideLines())
                            - Math.max(0, line - config.sideLines())
                            + 1;
            double time = 2 * (2 * half + 1) * spacing / geometry.soundSpeed();
            double n = ECHO_BANDWIDTH * geometry.centreFrequency() * time * lines;
            return geometry.wavelength() / (4 * Math.PI) * Math.sqrt((1 - r2) / (2 * r2 * n));
        }

        private boolean flawed(int line, int n) {
            double flaws = 0;
            int count = 0;
            for (int l = firstLine(line); l <= lastLine(line); l++) {
                for (int k = n - half; k <= n + half; k++) {
                    flaws += Math.max(reference.flaws[l * length + k], moved.flaws[l * length + k]);
                    count++;
                }
            }
            return flaws > 0.02 * count;
        }

        private double coarse(int line, int n) {
            int best = lags;
            double greatest = -1;
            for (int k = 0; k < magnitudes.length; k++) {
                compare(line, n, (k - lags) * spacing);
                magnitudes[k] = Math.sqrt(correlation2);
                if (magnitudes[k] > greatest) {
                    greatest = magnitudes[k];
                    best = k;
                }
            }
            double peak = 0;
            if (best > 0 && best < magnitudes.length - 1) {
                double before = magnitudes[best - 1];
                double after = magnitudes[best + 1];
                peak = (before - after) / (2 * (before - 2 * greatest + after));
            }
            double whole = (best - lags) * spacing;
            compare(line, n, whole);
            double cycle = geometry.wavelength() / 2;
            double byPhase = whole - Math.atan2(im, re) * geometry.wavelength() / (4 * Math.PI);
            double byPeak = whole + peak * spacing;
            return byPhase + Math.rint((byPeak - byPhase) / cycle) * cycle;
        }

        private int firstLine(int line) {
            return Math.max(0, line - config.sideLines());
        }

        private int lastLine(int line) {
            return Math.min(geometry.lines() - 1, line + config.sideLines());
        }

        /** Correlates the windows, that of the second frame displaced by u (m). */
        private void compare(int line, int n, double u) {
            double position = u / spacing;
            int whole = (int) Math.floor(position);
            interpolator(position - whole);
            boolean between = position != whole;
            double sumRe = 0;
            double sumIm = 0;
            double energyA = 0;
            double energyB = 0;
            for (int l = firstLine(line); l <= lastLine(line); l++) {
                int at = l * length;
                for (int k = n - half; k <= n + half; k++) {
                    double bRe =
                            between ? read(moved.re, at, k + whole) : at(moved.re, at, k + whole);
                    double bIm =
                            between ? read(moved.im, at, k + whole) : at(moved.im, at, k + whole);
                    double aRe = reference.re[at + k];
                    double aIm = reference.im[at + k];
                    sumRe += aRe * bRe + aIm * bIm;
                    sumIm += aRe * bIm - aIm * bRe;
                    energyA += aRe * aRe + aIm * aIm;
                    energyB += bRe * bRe + bIm * bIm;
                }
            }
            double angle = 4 * Math.PI * u / geometry.wavelength();
            re = sumRe * Math.cos(angle) - sumIm * Math.sin(angle);
            im = sumRe * Math.sin(angle) + sumIm * Math.cos(angle);
            int count = (2 * half + 1) * (lastLine(line) - firstLine(line) + 1);
            boolean echo = Math.min(energyA, energyB) > 1e-4 * meanEnergy * count;
            correlation2 = echo ? (re * re + im * im) / (energyA * energyB) : 0;
        }

        private double at(float[] values, int line, int k) {
            return k < 0 || k >= length ? 0 : values[line + k];
        }

        private double read(float[] values, int line, int k) {
            double sum = 0;
            for (int j = 0; j < TAPS; j++) {
                sum += weights[j] * at(values, line, k + j - TAPS / 2 + 1);
            }
            return sum;
        }

        /** A sinc under a raised cosine. */
        private void interpolator(double fraction) {
            double sum = 0;
            for (int j = 0; j < TAPS; j++) {
                double x = j - TAPS / 2 + 1 - fraction;
                double sinc = x == 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
                weights[j] = sinc * 0.5 * (1 + Math.cos(Math.PI * x / (TAPS / 2 + 0.5)));
                sum += weights[j];
            }
            for (int j = 0; j < TAPS; j++) {
                weights[j] /= sum;
            }
        }
    }
}
