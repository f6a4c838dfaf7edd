package org.elasto.samples.own;

import java.util.Arrays;
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
 * Both frames are turned into complex baseband. For every row, a window of the first, three lines
 * wide, is correlated with the second at every whole lag of the search range; from the best lag on,
 * Newton's method finds where the phase of the interpolated correlation is zero.
 */
final class PhaseZeroEstimator implements DisplacementEstimator {

    /** Band that is kept, and band of the echo that predicted deviations assume, over f0. */
    private static final double BANDWIDTH = 0.8;

    private static final double ECHO_BANDWIDTH = 0.6;

    private static final double LEAST_CORRELATION = 0.6;

    /** Windows with less energy than this share of their line's are silent. */
    private static final double SILENCE = 1e-4;

    /** Share of a window's samples that may be flawed. */
    private static final double FLAWED = 0.02;

    private static final int SAMPLES_PER_ROW = 4;
    private static final int SIDE_LINES = 1;
    private static final int HALF_TAPS = 4;
    private static final int NEWTON_STEPS = 3;

    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int length;
    private final double spacing;
    private final int half;
    private final int lags;
    private final Baseband first;
    private final Baseband second;
    private final Matcher[] matchers;

    // A lambda made at every call would be garbage at every call.
    private final Workers.Task convert = this::convertLine;
    private final Workers.Task match = this::matchLine;

    // The arguments of the call that is under way.
    private RfFrame reference;
    private RfFrame moved;
    private DisplacementField out;

    /** A whole frame in baseband, line after line. */
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

    PhaseZeroEstimator(PhaseZeroConfig config, ScanGeometry geometry, Workers workers) {
        this.geometry = geometry;
        this.workers = workers;
        double band = BANDWIDTH * geometry.centreFrequency();
        int decimation = BasebandConverter.decimationFor(geometry, band);
        matchers = new Matcher[workers.count()];
        Arrays.setAll(
                matchers, i -> new Matcher(new BasebandConverter(geometry, band, decimation)));
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
            matcher.reserve(2 * (lags + HALF_TAPS) + 1);
        }
        RowGrid grid =
                new RowGrid(
                        (length - 2 * half - 1) / SAMPLES_PER_ROW + 1,
                        geometry.firstDepth() + half * spacing,
                        SAMPLES_PER_ROW * spacing);
        ErrorCorrelation errors =
                new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, (2 * half + 1) * spacing);
        double across = (2 * SIDE_LINES + 1) * geometry.lineSpacing(grid.depth(grid.rows() / 2.0));
        layout =
                new FieldLayout(
                        geometry,
                        grid,
                        false,
                        errors,
                        new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, across));
        first = new Baseband(geometry.lines() * length);
        second = new Baseband(geometry.lines() * length);
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
        reference = referenceFrame;
        moved = movedFrame;
        out = field;
        workers.run(geometry.lines(), convert);
        workers.run(geometry.lines(), match);
        reference = null;
        moved = null;
        out = null;
    }

    private void convertLine(int line, int worker) {
        BasebandConverter converter = matchers[worker].converter;
        int at = line * length;
        converter.convert(reference, line, first.re, first.im, at, first.flaws, at);
        converter.convert(moved, line, second.re, second.im, at, second.flaws, at);
    }

    private void matchLine(int line, int worker) {
        Matcher matcher = matchers[worker];
        matcher.begin(line);
        int rows = layout.grid().rows();
        for (int row = 0; row < rows; row++) {
            int to = line * rows + row;
            int middle = half + row * SAMPLES_PER_ROW;
            if (!matcher.match(middle)) {
                out.markUnknown(to);
                continue;
            }
            out.axial()[to] = (float) matcher.displacement;
            out.correlation()[to] = (float) Math.sqrt(matcher.correlation2);
            out.axialDeviation()[to] = (float) matcher.deviation();
        }
    }

    /** One worker's work on one window at a time. */
    private final class Matcher {

        final BasebandConverter converter;
        double displacement;
        double correlation2;

        private final double[] taps = new double[2 * HALF_TAPS];
        private double[] re;
        private double[] im;
        private double[] energy;
        private double energyOfFirst;
        private int firstLine;
        private int lastLine;
        private double silence;

        // The correlation at the last place asked for.
        private double product2;
        private double angle;

        Matcher(BasebandConverter converter) {
            this.converter = converter;
        }

        void reserve(int count) {
            re = new double[count];
            im = new double[count];
            energy = new double[count];
        }

        void begin(int line) {
            firstLine = Math.max(0, line - SIDE_LINES);
            lastLine = Math.min(geometry.lines() - 1, line + SIDE_LINES);
            double sum = 0;
            for (int i = line * length; i < (line + 1) * length; i++) {
                sum += power(first, i);
            }
            int cells = (2 * half + 1) * (lastLine - firstLine + 1);
            silence = SILENCE * sum / length * cells;
        }

        /** Whether the displacement around a baseband sample is known; if so, sets it. */
        boolean match(int middle) {
            if (isFlawed(middle)) {
                return false;
            }
            correlate(middle);
            if (!(energyOfFirst > silence)) {
                return false;
            }
            displacement = start();
            for (int step = 0; step < NEWTON_STEPS; step++) {
                if (!isInRange(displacement)) {
                    return false;
                }
                look(displacement);
                displacement -= angle * geometry.wavelength() / (4 * Math.PI);
            }
            if (!isInRange(displacement)) {
                return false;
            }
            look(displacement);
            double energyOfSecond = energyAt(middle, displacement);
            boolean echo = energyOfSecond > silence;
            correlation2 = echo ? product2 / (energyOfFirst * energyOfSecond) : 0;
            correlation2 = Math.min(1, correlation2); // what rounding may exceed
            return correlation2 >= LEAST_CORRELATION * LEAST_CORRELATION;
        }

        /** False for NaN as well. */
        private boolean isInRange(double u) {
            return Math.abs(u) <= (lags + 0.5) * spacing;
        }

        private boolean isFlawed(int middle) {
            double flaws = 0;
            int cells = 0;
            for (int line = firstLine; line <= lastLine; line++) {
                int from = line * length + middle - half;
                for (int i = from; i <= from + 2 * half; i++) {
                    flaws += Math.max(first.flaws[i], second.flaws[i]);
                    cells++;
                }
            }
            return flaws > FLAWED * cells;
        }

        /** Correlates the window with the second frame at every whole lag. */
        private void correlate(int middle) {
            Arrays.fill(re, 0);
            Arrays.fill(im, 0);
            Arrays.fill(energy, 0);
            energyOfFirst = 0;
            for (int line = firstLine; line <= lastLine; line++) {
                int at = line * length;
                for (int n = middle - half; n <= middle + half; n++) {
                    energyOfFirst += power(first, at + n);
                    double a = first.re[at + n];
                    double b = first.im[at + n];
                    int shift = n - lags - HALF_TAPS;
                    int end = Math.min(re.length, length - shift);
                    for (int k = Math.max(0, -shift); k < end; k++) {
                        double c = second.re[at + shift + k];
                        double d = second.im[at + shift + k];
                        re[k] += a * c + b * d;
                        im[k] += a * d - b * c;
                        energy[k] += c * c + d * d;
                    }
                }
            }
        }

        /** The zero of the phase that is nearest to the peak of the magnitude. */
        private double start() {
            int best = -lags;
            double most = -1;
            for (int lag = -lags; lag <= lags; lag++) {
                double size = size(lag);
                if (size > most) {
                    most = size;
                    best = lag;
                }
            }
            double before = size(best - 1);
            double after = size(best + 1);
            double bend = before - 2 * most + after;
            double peak =
                    bend < 0 ? (best + (before - after) / (2 * bend)) * spacing : best * spacing;
            look(best * spacing);
            double cycle = geometry.wavelength() / 2;
            double zero = best * spacing - angle / (2 * Math.PI) * cycle;
            return zero + Math.rint((peak - zero) / cycle) * cycle;
        }

        /** Magnitude of the normalised correlation at a whole lag. */
        private double size(int lag) {
            int k = lag + lags + HALF_TAPS;
            double both = energyOfFirst * energy[k];
            return energy[k] > silence ? Math.sqrt((re[k] * re[k] + im[k] * im[k]) / both) : 0;
        }

        /** Sets size and phase of the correlation at a displacement within the range. */
        private void look(double u) {
            int whole = interpolator(u) + lags + HALF_TAPS;
            double sumRe = 0;
            double sumIm = 0;
            for (int j = 0; j < taps.length; j++) {
                sumRe += taps[j] * re[whole - HALF_TAPS + 1 + j];
                sumIm += taps[j] * im[whole - HALF_TAPS + 1 + j];
            }
            double turn = 4 * Math.PI * u / geometry.wavelength();
            angle = Math.IEEEremainder(Math.atan2(sumIm, sumRe) + turn, 2 * Math.PI);
            product2 = sumRe * sumRe + sumIm * sumIm;
        }

        /**
         * Energy of the second frame's window, moved as the correlation was: it never exceeds 1.
         */
        private double energyAt(int middle, double u) {
            int whole = interpolator(u);
            double sum = 0;
            for (int line = firstLine; line <= lastLine; line++) {
                int at = line * length;
                for (int n = middle - half; n <= middle + half; n++) {
                    int from = n + whole - HALF_TAPS + 1;
                    double c = 0;
                    double d = 0;
                    for (int j = Math.max(0, -from);
                            j < Math.min(taps.length, length - from);
                            j++) {
                        c += taps[j] * second.re[at + from + j];
                        d += taps[j] * second.im[at + from + j];
                    }
                    sum += c * c + d * d;
                }
            }
            return sum;
        }

        /** Taps of a sinc under a raised cosine; returns the whole lag before the displacement. */
        private int interpolator(double u) {
            int whole = (int) Math.floor(u / spacing);
            double fraction = u / spacing - whole;
            double sum = 0;
            for (int j = 0; j < taps.length; j++) {
                double x = j - HALF_TAPS + 1 - fraction;
                double sinc = x == 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
                taps[j] = sinc * (1 + Math.cos(Math.PI * x / (HALF_TAPS + 0.5)));
                sum += taps[j];
            }
            for (int j = 0; j < taps.length; j++) {
                taps[j] /= sum;
            }
            return whole;
        }

        /** Of the phase of N independent samples: sqrt((1 - r²) / 2 r² N) radians. */
        double deviation() {
            double seconds = 2 * (2 * half + 1) * spacing / geometry.soundSpeed();
            double independent = ECHO_BANDWIDTH * geometry.centreFrequency() * seconds;
            independent *= lastLine - firstLine + 1;
            double radians = Math.sqrt((1 - correlation2) / (2 * correlation2 * independent));
            return Math.max(1e-10, radians * geometry.wavelength() / (4 * Math.PI));
        }

        private double power(Baseband frame, int i) {
            double re = frame.re[i];
            double im = frame.im[i];
            return re * re + im * im;
        }
    }
}
