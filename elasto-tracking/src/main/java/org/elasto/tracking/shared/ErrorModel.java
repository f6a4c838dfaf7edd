package org.elasto.tracking.shared;

/**
 * Predicts the standard deviation of a displacement that was taken from the phase, or the fine
 * structure, of a windowed correlation.
 *
 * <p>For circular Gaussian echoes of correlation r averaged over N independent samples the phase
 * has the variance (1 - r&sup2;) / (2 r&sup2; N) (the limit of Walker and Trahey, IEEE Trans UFFC
 * 42(2):301-308, 1995, for a narrow band), and a turn of phase is half a wavelength of
 * displacement. How many samples are independent depends on the spectra of echo and disturbance
 * alike: 1/N is the sum over all distances of the window's correlation with itself, the echo's, and
 * that of what the two frames do not have in common. The last two are measured on the frame pair at
 * hand.
 *
 * <p>Strain spoils the match without adding to the error. Undoing the motion brings every scatterer
 * back to its place but leaves its echo squeezed: in a strain e its phase runs by e times the
 * centre frequency, as much ahead before its middle as behind after it. For an echo whose power has
 * the standard deviation t in time that lowers the squared correlation by (2 pi f e t)&sup2;, which
 * is taken off before the rest counts as noise.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
public final class ErrorModel {

    private static final int AXIAL_LAGS = 8;
    private static final int LATERAL_LAGS = 5;

    /**
     * What the squeezed envelope adds to that, for a Gaussian one: a half along the line, and as
     * much across the lines, where soft tissue spreads by about what it is squeezed.
     */
    private static final double ENVELOPE_SQUEEZE = 1;

    /** Least share of what differs that counts as noise, however much strain would explain. */
    private static final double LEAST_NOISE = 0.05;

    /** Stretches of depth in which the width of the beam is measured. */
    private static final int STRETCHES = 12;

    /** Least sum of correlations, as a share of what errors without any correlation have. */
    private static final double LEAST_OF_WHITE = 0.1;

    /** Only every so manieth line is measured; neighbours tell the same. */
    private static final int LINE_STEP = 3;

    private final GaussianWindow along;
    private final GaussianWindow across;
    private final double[] echoAxial = new double[2 * AXIAL_LAGS];
    private final double[] restAxial = new double[2 * AXIAL_LAGS];
    private final double[] echoLateral = new double[2 * LATERAL_LAGS];
    private final double[] restLateral = new double[2 * LATERAL_LAGS];

    /**
     * Correlation of neighbouring lines: energy, real and imaginary part for stretches of depth.
     */
    private final double[] neighbours = new double[3 * STRETCHES];

    /** Sharpness of the echo across the lines, for each stretch. */
    private final double[] sharpness = new double[STRETCHES];

    private final double cyclesPerSample;
    private double perIndependent;
    private double squeezePerStrain;
    private int length;

    /**
     * Makes a model.
     *
     * @param along window along the line
     * @param across window across lines
     * @param cyclesPerSample cycles of the centre frequency from one baseband sample to the next
     */
    public ErrorModel(GaussianWindow along, GaussianWindow across, double cyclesPerSample) {
        this.cyclesPerSample = cyclesPerSample;
        this.along = along;
        this.across = across;
    }

    /**
     * Measures a frame pair.
     *
     * @param a first frame
     * @param bRe real part of the second frame with its motion undone, {@code line * length + n}
     * @param bIm imaginary part
     * @param energy local energy of the first frame, laid out as the second
     * @param movedEnergy local energy of the second
     * @param product real part of the local product of the two
     */
    public void measure(
            BasebandFrame a,
            float[] bRe,
            float[] bIm,
            float[] energy,
            float[] movedEnergy,
            float[] product) {
        int lines = a.lines;
        length = a.length;
        int stride = a.stride;
        float[] aRe = a.re;
        float[] aIm = a.im;
        clear();
        for (int line = 0; line < lines; line += LINE_STEP) {
            for (int n = 0; n < length; n++) {
                int p = line * length + n;
                // A window's mean energy keeps bright spots from speaking for all the others.
                double scale = 1 / (energy[p] + 1e-30);
                // And so for what differs: the ends of the lines, where one frame has no more
                // echo, differ by more than all the rest together.
                double rest = differs(energy[p], movedEnergy[p], product[p]);
                int ia = line * stride + BasebandFrame.MARGIN + n;
                double er = bRe[p] - aRe[ia];
                double ei = bIm[p] - aIm[ia];
                for (int k = 0; k < AXIAL_LAGS && n + k < length; k++) {
                    int q = p + k;
                    double other = differs(energy[q], movedEnergy[q], product[q]);
                    double restScale = 1 / Math.sqrt(rest * other);
                    int ja = ia + k;
                    add(echoAxial, k, scale, aRe[ia], aIm[ia], aRe[ja], aIm[ja]);
                    add(restAxial, k, restScale, er, ei, bRe[q] - aRe[ja], bIm[q] - aIm[ja]);
                }
                for (int k = 0; k < LATERAL_LAGS && line + k < lines; k++) {
                    int q = p + k * length;
                    double other = differs(energy[q], movedEnergy[q], product[q]);
                    double restScale = 1 / Math.sqrt(rest * other);
                    int ja = ia + k * stride;
                    add(echoLateral, k, scale, aRe[ia], aIm[ia], aRe[ja], aIm[ja]);
                    add(restLateral, k, restScale, er, ei, bRe[q] - aRe[ja], bIm[q] - aIm[ja]);
                }
            }
        }
        perIndependent =
                sum(along, echoAxial, restAxial, AXIAL_LAGS)
                        * sum(across, echoLateral, restLateral, LATERAL_LAGS);
        measureSharpness(a, energy);
        // The power of a Gaussian echo of deviation t goes together over a time d as
        // exp(-d^2 / (8 t^2)); neighbouring samples tell t, in samples.
        double r = Math.hypot(echoAxial[2], echoAxial[3]) / echoAxial[0];
        double echoSamples = r > 0 && r < 1 ? Math.sqrt(-1 / (8 * Math.log(r))) : 0;
        double turned = 2 * Math.PI * cyclesPerSample * echoSamples;
        squeezePerStrain = Math.sqrt(turned * turned + ENVELOPE_SQUEEZE);
    }

    /** How the echo changes from line to line, which the width of the beam decides. */
    private void measureSharpness(BasebandFrame a, float[] energy) {
        java.util.Arrays.fill(neighbours, 0);
        for (int line = 0; line + 1 < a.lines; line += LINE_STEP) {
            for (int n = 0; n < length; n++) {
                int at = 3 * (n * STRETCHES / length);
                int i = line * a.stride + BasebandFrame.MARGIN + n;
                int j = i + a.stride;
                float scale = 1 / (energy[line * length + n] + 1e-30f);
                float ar = a.re[i];
                float ai = a.im[i];
                float br = a.re[j];
                float bi = a.im[j];
                neighbours[at] += 0.5f * scale * (ar * ar + ai * ai + br * br + bi * bi);
                neighbours[at + 1] += scale * (ar * br + ai * bi);
                neighbours[at + 2] += scale * (ar * bi - ai * br);
            }
        }
        for (int k = 0; k < STRETCHES; k++) {
            double r = Math.hypot(neighbours[3 * k + 1], neighbours[3 * k + 2]) / neighbours[3 * k];
            // The mean of 2 (1 - cos w) over the angular frequencies w a line; NaN without echo.
            sharpness[k] = 2 * (1 - r);
        }
    }

    /** Energy of what two windows do not have in common, and a little for rounding. */
    private static double differs(double energy, double movedEnergy, double product) {
        return Math.max(energy + movedEnergy - 2 * product, 1e-6 * energy) + 1e-30;
    }

    private void clear() {
        java.util.Arrays.fill(echoAxial, 0);
        java.util.Arrays.fill(restAxial, 0);
        java.util.Arrays.fill(echoLateral, 0);
        java.util.Arrays.fill(restLateral, 0);
    }

    private static void add(
            double[] sums, int k, double scale, double xr, double xi, double yr, double yi) {
        sums[2 * k] += scale * (xr * yr + xi * yi);
        sums[2 * k + 1] += scale * (xr * yi - xi * yr);
    }

    private static double sum(GaussianWindow window, double[] echo, double[] rest, int lags) {
        // Two equal frames differ by nothing: then the rest is taken to be like the echo.
        double[] other = rest[0] > 0 ? rest : echo;
        double norm = echo[0] * other[0];
        if (!(norm > 0)) {
            return 1;
        }
        double total = window.autocorrelation(0);
        for (int k = 1; k < lags; k++) {
            double both = echo[2 * k] * other[2 * k] + echo[2 * k + 1] * other[2 * k + 1];
            total += 2 * window.autocorrelation(k) * both / norm;
        }
        // The true sum is not negative; a measured one may come out as next to nothing.
        return Math.max(total, LEAST_OF_WHITE * window.autocorrelation(0));
    }

    /**
     * Number of independent samples in a window, as measured.
     *
     * @return N, greater than 1
     */
    public double independentSamples() {
        return Math.max(1.0001, 1 / perIndependent);
    }

    /**
     * Predicted deviation of a lateral displacement that was found by the same windows. Across the
     * lines the echo has no carrier: its root-mean-square spatial frequency takes the place of the
     * centre frequency. It is measured as the change of the echo from line to line, in stretches of
     * depth, since the beam is wider before and behind its focus.
     *
     * @param correlation2 squared correlation of the window, greater than 0 and at most 1
     * @param sample sample in the middle of the window
     * @return standard deviation in lines; NaN for a single line
     */
    public double lateralDeviation(double correlation2, int sample) {
        double at = (sample + 0.5) * STRETCHES / length - 0.5;
        double inside = Math.max(0, Math.min(STRETCHES - 1, at));
        int first = Math.min(STRETCHES - 2, (int) inside);
        double share = inside - first;
        double near = sharpness[first];
        double far = sharpness[first + 1];
        // A stretch without echo says nothing; the one beside it must do.
        double s = near > 0 ? far > 0 ? (1 - share) * near + share * far : near : far;
        return deviation(correlation2, 1 - correlation2) / Math.sqrt(s);
    }

    /**
     * Predicted deviation of the phase.
     *
     * @param correlation2 squared correlation of the window, greater than 0 and at most 1
     * @param strain axial strain in the window
     * @return standard deviation (rad)
     */
    public double phaseDeviation(double correlation2, double strain) {
        double differs = 1 - correlation2;
        double squeezed = squeezePerStrain * strain;
        return deviation(
                correlation2, Math.max(LEAST_NOISE * differs, differs - squeezed * squeezed));
    }

    private double deviation(double correlation2, double differs) {
        double n = independentSamples();
        // A window of N samples shows less of what differs than there is, by 1 / N.
        return Math.sqrt(Math.max(0, differs) * n / (n - 1) / (2 * correlation2 * n));
    }
}
