package org.elasto.tracking.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/**
 * Judges a dense displacement: undoes it, correlates what remains in smooth windows, and writes the
 * rows of a field with correlation and predicted deviation. What cannot be known is left out:
 * places that do not match, that hold flawed samples, that have next to no echo, or whose window
 * shows the motion of something brighter beside them.
 *
 * <p>Windows are Gaussian, of the equivalent length and width of the estimator's own. A call
 * allocates nothing.
 */
public final class MatchJudge {

    /** Farthest that the echo's centre of energy may lie from a window's middle, in deviations. */
    private static final double FARTHEST_CENTRE = 0.55;

    /**
     * The same times the root of the independent samples in a window: in a small window speckle
     * alone moves the centre.
     */
    private static final double FARTHEST_BY_SPECKLE = 3.5;

    /**
     * Least energy of a line over the mean of its window across lines: a line without contact, or
     * in the shadow of bone, must not speak with the echo of its neighbours. 15 dB are more than
     * speckle makes out over the length of a window.
     */
    public static final float LEAST_OWN_SHARE = 1 / 32f;

    /** Largest share of flawed samples in a window. */
    public static final float MOST_FLAWED = 0.02f;

    /** How often noise may pass for a match, and among how many displacements the best is taken. */
    private static final double CHANCE = 0.01;

    private static final double PLACES_SOUGHT = 50;

    /** Smallest predicted deviation, in wavelengths: about the rounding of a float phase. */
    private static final double LEAST_DEVIATION = 1e-6;

    /** Smallest predicted lateral deviation, in lines. */
    private static final double LEAST_LATERAL = 1e-5;

    private final int lines;
    private final int length;
    private final int rowStep;
    private final int rows;
    private final ScanGeometry geometry;
    private final double wavelength;
    private final float leastCorrelation2;
    private final GaussianWindow along;
    private final GaussianWindow across;
    private final ErrorModel errors;
    private final EchoFloor floor;
    private final Workers workers;

    private final float[] warpedRe;
    private final float[] warpedIm;
    private final float[] productRe;
    private final float[] productIm;
    private final float[] referenceEnergy;
    private final float[] movedEnergy;
    private final float[] flaws;
    private final WindowScratch[] scratch;
    private final Workers.Task correlate = this::correlateLine;
    private final Workers.Task write = this::writeLine;

    private BasebandFrame reference;
    private BasebandFrame moved;
    private float[] displacement;
    private float[] lateral;
    private DisplacementField out;
    private boolean flawed;

    /**
     * Makes a judge.
     *
     * @param geometry geometry of the frames
     * @param frame a baseband frame of the kind that will be judged
     * @param along window along the lines
     * @param across window across the lines
     * @param rowStep baseband samples from row to row of the field
     * @param minimumCorrelation correlation below which nothing is claimed to be known
     * @param workers threads it may use
     */
    public MatchJudge(
            ScanGeometry geometry,
            BasebandFrame frame,
            GaussianWindow along,
            GaussianWindow across,
            int rowStep,
            double minimumCorrelation,
            Workers workers) {
        this.workers = workers;
        this.along = along;
        this.across = across;
        this.rowStep = rowStep;
        lines = frame.lines;
        length = frame.length;
        rows = rows(frame, rowStep);
        this.geometry = geometry;
        wavelength = geometry.wavelength();
        leastCorrelation2 =
                (float)
                        Math.max(
                                minimumCorrelation * minimumCorrelation,
                                chanceCorrelation2(
                                        frame.bandShare
                                                * along.equivalentLength()
                                                * across.equivalentLength()));
        errors = new ErrorModel(along, across, 2 * frame.spacing / wavelength);
        floor = new EchoFloor(lines * rows);
        int size = lines * length;
        warpedRe = new float[size];
        warpedIm = new float[size];
        productRe = new float[size];
        productIm = new float[size];
        referenceEnergy = new float[size];
        movedEnergy = new float[size];
        flaws = new float[size];
        scratch = WindowScratch.forWorkers(workers, length, along);
    }

    /**
     * Rows of a field that has one for every so manieth baseband sample.
     *
     * @param frame a baseband frame
     * @param rowStep baseband samples from row to row
     * @param geometry geometry of the RF frames
     * @return the grid
     */
    public static RowGrid grid(BasebandFrame frame, int rowStep, ScanGeometry geometry) {
        return new RowGrid(rows(frame, rowStep), geometry.firstDepth(), rowStep * frame.spacing);
    }

    /**
     * Checks that a frame is deep enough for a window.
     *
     * @param windowLength equivalent length of the window (m)
     * @param geometry geometry of the frames
     * @throws IllegalArgumentException if the window is longer than the frame
     */
    public static void checkDepth(double windowLength, ScanGeometry geometry) {
        checkDepth("window-length", windowLength, geometry);
    }

    /**
     * Checks that a frame is deep enough for a window.
     *
     * @param name what sets the window's length
     * @param windowLength equivalent length of the window (m)
     * @param geometry geometry of the frames
     * @throws IllegalArgumentException if the window is longer than the frame
     */
    public static void checkDepth(String name, double windowLength, ScanGeometry geometry) {
        double depth = geometry.lastDepth() - geometry.firstDepth();
        if (windowLength > depth) {
            throw new IllegalArgumentException(
                    name
                            + " is "
                            + windowLength
                            + " m; the "
                            + geometry.samples()
                            + " samples of a line are only "
                            + depth
                            + " m deep");
        }
    }

    private static int rows(BasebandFrame frame, int rowStep) {
        return (frame.length - 1) / rowStep + 1;
    }

    /**
     * Squared correlation that two frames of nothing but noise reach in a window only once in a
     * hundred times, when the best of some fifty displacements is taken: for N independent samples
     * each reaches r2 with probability (1 - r2)^(N - 1).
     *
     * @param n independent samples in a window
     * @return squared correlation, 1 where a window holds no more than one
     */
    public static double chanceCorrelation2(double n) {
        return n > 1 ? 1 - Math.pow(CHANCE / PLACES_SOUGHT, 1 / (n - 1)) : 1;
    }

    /**
     * Farthest that the echo's centre of energy may lie from a window's middle.
     *
     * @param n independent samples in a window
     * @return distance in standard deviations of the window
     */
    public static double farthestCentre(double n) {
        return Math.max(FARTHEST_CENTRE, FARTHEST_BY_SPECKLE / Math.sqrt(n));
    }

    /**
     * Judges a displacement and writes the field.
     *
     * @param a first frame
     * @param b second frame
     * @param dense axial displacement (m) of every baseband sample, {@code line * length + n};
     *     finite
     * @param denseLateral lateral displacement of every sample in lines, finite; null where there
     *     is none, and then none is written
     * @param field receives the rows
     */
    public void judge(
            BasebandFrame a,
            BasebandFrame b,
            float[] dense,
            float[] denseLateral,
            DisplacementField field) {
        reference = a;
        moved = b;
        displacement = dense;
        lateral = denseLateral;
        out = field;
        flawed = a.isFlawed() || b.isFlawed();
        workers.run(lines, correlate);
        errors.measure(a, warpedRe, warpedIm, referenceEnergy, movedEnergy, productRe);
        workers.run(lines, write);
        floor.apply(field);
        reference = null;
        moved = null;
        displacement = null;
        lateral = null;
        out = null;
    }

    private void correlateLine(int line, int worker) {
        WindowScratch s = scratch[worker];
        int to = line * length;
        if (lateral == null) {
            FractionalShift.warp(moved, line, displacement, wavelength, warpedRe, warpedIm, to);
        } else {
            FractionalShift.warp(
                    moved, line, displacement, lateral, wavelength, warpedRe, warpedIm, to);
        }
        s.correlateAlong(
                along, reference, line, warpedRe, warpedIm, productRe, productIm, movedEnergy);
        s.energyAlong(along, reference, line, referenceEnergy);
        if (flawed) {
            s.flawsAlong(along, reference, moved, line, flaws);
        }
    }

    private void writeLine(int line, int worker) {
        WindowScratch s = scratch[worker];
        s.correlateAcross(across, lines, line, productRe, productIm, referenceEnergy, movedEnergy);
        findCentres(line, s);
        if (flawed) {
            across.smoothAcross(flaws, length, lines, line, length, s.mean);
        }
        double metresPerRadian = wavelength / (4 * Math.PI);
        double farthest = farthestCentre(errors.independentSamples());
        for (int row = 0; row < rows; row++) {
            int n = row * rowStep;
            int to = line * rows + row;
            floor.set(to, Math.min(s.referenceEnergy[n], s.movedEnergy[n]));
            float r2 = s.correlation2(n);
            int at = line * length + n;
            if (!(r2 >= leastCorrelation2)
                    || referenceEnergy[at] < LEAST_OWN_SHARE * s.referenceEnergy[n]
                    || movedEnergy[at] < LEAST_OWN_SHARE * s.movedEnergy[n]
                    || flawed && s.mean[n] > MOST_FLAWED
                    || !(s.centre[n] <= farthest)) {
                out.markUnknown(to);
                continue;
            }
            double phaseDeviation = errors.phaseDeviation(r2, strainAt(line, n));
            out.axial()[to] = displacement[line * length + n];
            out.correlation()[to] = (float) Math.sqrt(r2);
            out.axialDeviation()[to] =
                    (float)
                            Math.max(
                                    LEAST_DEVIATION * wavelength, metresPerRadian * phaseDeviation);
            if (lateral != null) {
                double pitch = geometry.lineSpacing(out.layout().grid().depth(row));
                double deviation = errors.lateralDeviation(r2, n);
                // A single line shows no lateral motion.
                out.lateral()[to] =
                        deviation >= 0 ? (float) (pitch * lateral[line * length + n]) : Float.NaN;
                // As for the axial one, what is predicted never falls to nothing.
                out.lateralDeviation()[to] =
                        (float)
                                (pitch
                                        * (deviation >= 0
                                                ? Math.max(LEAST_LATERAL, deviation)
                                                : deviation));
            }
        }
    }

    /** Axial strain of the displacement that is judged, over about half a window. */
    private double strainAt(int line, int n) {
        int reach = Math.max(1, (int) Math.round(along.deviation()));
        int before = Math.max(0, n - reach);
        int after = Math.min(length - 1, n + reach);
        if (after == before) {
            return 0;
        }
        float rise = displacement[line * length + after] - displacement[line * length + before];
        return rise / ((after - before) * reference.spacing);
    }

    /**
     * Distance of each frame's centre of energy from the middle of the window, along the line and
     * across, in standard deviations of the window; the greatest counts. Next to a bright
     * reflector, or to where contact is lost, a window shows the motion of what is bright, not of
     * its own place.
     */
    private void findCentres(int line, WindowScratch s) {
        java.util.Arrays.fill(s.centre, 0f);
        addCentres(line, s, referenceEnergy, s.referenceEnergy);
        addCentres(line, s, movedEnergy, s.movedEnergy);
    }

    private void addCentres(int line, WindowScratch s, float[] plane, float[] energy) {
        float[] moment = s.mean;
        across.momentAcross(plane, length, lines, line, length, moment, energy);
        float perDeviation = across.deviation() > 0 ? (float) (1 / across.deviation()) : 0f;
        for (int row = 0; row < rows; row++) {
            int n = row * rowStep;
            int before = Math.max(0, n - 1);
            int after = Math.min(length - 1, n + 1);
            // For a Gaussian window the centre is the slope of the logarithm of the energy.
            double slope = Math.log((energy[after] + 1e-30) / (energy[before] + 1e-30));
            float alongLine = (float) (along.deviation() * slope / Math.max(1, after - before));
            float acrossLines = moment[n] / (energy[n] + 1e-30f) * perDeviation;
            s.centre[n] =
                    Math.max(s.centre[n], Math.max(Math.abs(alongLine), Math.abs(acrossLines)));
        }
    }
}
