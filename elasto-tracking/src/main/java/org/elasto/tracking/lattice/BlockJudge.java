package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.EchoFloor;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.VectorLoops;

/**
 * Judges a displacement block by block, by the rules of {@link MatchJudge}: what cannot be known is
 * left out, and everything else gets its correlation and predicted deviation.
 *
 * <p>The deviation of a phase is {@code sqrt((1 - r^2) / (2 r^2 N))}. How many samples N of a
 * window are independent depends on what the frames do not have in common, and is measured on the
 * pair at hand: the part of every block's product that is in quadrature, over the energy, says how
 * much the phase of a block errs, and its correlation from block to block and line to line how far
 * that averages out.
 */
final class BlockJudge {

    /** Lags of the quadrature's correlation along the line and across the lines. */
    private static final int AXIAL_LAGS = 3;

    private static final int LATERAL_LAGS = 4;

    /** Only every so manieth tile is measured; neighbours tell the same. */
    private static final int TILE_STEP = 2;

    /** How much of a window's mean the first of two windows has taken away. */
    private static final double TAKEN = 0.75;

    /** Least sum of correlations, as a share of what errors without any correlation have. */
    private static final double LEAST_OF_WHITE = 0.1;

    /** Smallest predicted deviation, in wavelengths: about the rounding of a float phase. */
    private static final double LEAST_DEVIATION = 1e-6;

    private static final double LEAST_LATERAL = 1e-5;

    /** Places among which the floor of the echo is found. */
    private static final int FLOOR_PLACES = 1024;

    private final LatticeFrame.Shape shape;
    private final DenseCorrelation dense;
    private final EchoFloor floor;

    /** Lines that are tracked. */
    private final int lines;

    /** Lines of the field from one of them to the next. */
    private final int lineStep;

    private final int rows;
    private final int n;
    private final double metresPerRadian;
    private final float metresPerSample;
    private final float leastDeviation;
    private final float leastCorrelation2;
    private final float farthestAlong;
    private final float farthestAcross;
    private final double independent;
    private final GaussianWindow across;
    private final double[] autocorrelationAlong;
    private final double[] autocorrelationAcross;
    private final float[] endFactors;
    private final float[] sideFactors;
    private final float[] pitches;

    /** What each tile's moments across the lines lack at the outermost lines. */
    private final float[] evenMoments;

    /** For each tile: correlations of the quadrature, mean noise ratio, and their counts. */
    private final double[][] sums;

    private final double[] total = new double[AXIAL_LAGS + LATERAL_LAGS + 2];

    /** Quadrature of the measured tiles over the energy, weighted, and its squared weights. */
    private final float[][] quadrature;

    private final float[][] belief;
    private final float[] flaws;
    private final Scratch[] scratch;
    private LatticeFrame reference;
    private LatticeFrame moved;
    private boolean flawed;

    private final class Scratch {
        final float[] first = new float[n];
        final float[] second = new float[n];
        final float[] r2 = new float[n];
        final float[] margin = new float[n];
        final float[] noise = new float[n];
        final float[] moment = new float[n];
        final float[] flaws = new float[n];
        final float[] x = new float[n];
        final float[] y = new float[n];
        final float[] z = new float[n];
        final float[] w = new float[n];
        final float[] padded = new float[n + 2];
    }

    BlockJudge(
            LatticePhaseConfig config,
            ScanGeometry geometry,
            LatticeFrame frame,
            FieldLayout layout,
            GaussianWindow along,
            GaussianWindow across,
            double wider,
            DenseCorrelation dense,
            int lineStep,
            Workers workers) {
        this.dense = dense;
        this.across = across;
        this.lineStep = lineStep;
        shape = dense.shape;
        lines = (frame.lines + lineStep - 1) / lineStep;
        rows = layout.grid().rows();
        n = LatticeFrame.TILE * shape.stride;
        metresPerSample = (float) frame.spacing;
        metresPerRadian = geometry.wavelength() / (4 * Math.PI);
        leastDeviation = (float) (LEAST_DEVIATION * geometry.wavelength());
        GaussianWindow nominalAlong = new GaussianWindow(along.deviation() / wider, shape.blocks);
        GaussianWindow nominalAcross = new GaussianWindow(across.deviation() / wider, lines);
        autocorrelationAlong = new double[AXIAL_LAGS];
        Arrays.setAll(autocorrelationAlong, nominalAlong::autocorrelation);
        autocorrelationAcross = new double[LATERAL_LAGS];
        Arrays.setAll(autocorrelationAcross, nominalAcross::autocorrelation);
        independent =
                Math.max(
                        1.0001,
                        frame.bandShare
                                * shape.block
                                * nominalAlong.equivalentLength()
                                * nominalAcross.equivalentLength());
        leastCorrelation2 =
                (float)
                        Math.max(
                                config.minimumCorrelation() * config.minimumCorrelation(),
                                MatchJudge.chanceCorrelation2(independent));
        double farthest = MatchJudge.farthestCentre(independent);
        farthestAlong = (float) Math.tanh(farthest / along.deviation());
        farthestAcross = (float) (farthest * Math.max(across.deviation(), 1e-9));
        endFactors = along.endFactors(shape.blocks);
        sideFactors = across.endFactors(lines);
        evenMoments = evenMoments(across, lines);
        pitches = new float[rows];
        for (int row = 0; row < rows; row++) {
            pitches[row] = (float) geometry.lineSpacing(layout.grid().depth(row));
        }
        floor = new EchoFloor(lines * rows, FLOOR_PLACES);
        sums = new double[shape.tiles][AXIAL_LAGS + LATERAL_LAGS + 2];
        int measured = (shape.tiles + TILE_STEP - 1) / TILE_STEP;
        quadrature = new float[measured][n];
        belief = new float[measured][n];
        flaws = new float[shape.size];
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch());
    }

    /** Moment of the window's weights that lie within the scan, over their sum. */
    private static float[] evenMoments(GaussianWindow across, int lines) {
        float[] even = new float[lines];
        for (int line = 0; line < lines; line++) {
            double sum = 0;
            double moment = 0;
            for (int j = -across.halfWidth(); j <= across.halfWidth(); j++) {
                if (line + j >= 0 && line + j < lines) {
                    sum += across.tap(j);
                    moment += j * across.tap(j);
                }
            }
            even[line] = (float) (moment / sum);
        }
        return even;
    }

    void frames(LatticeFrame a, LatticeFrame b) {
        reference = a;
        moved = b;
        flawed = a != null && (a.isFlawed() || b.isFlawed());
    }

    /** Notes a tile's quadrature, after its product and its energies along the lines. */
    void measure(int tile, int worker) {
        Scratch s = scratch[worker];
        if (flawed) {
            flawsAlong(tile, s);
        }
        if (tile % TILE_STEP != 0) {
            return;
        }
        int at = shape.first + tile * n;
        System.arraycopy(dense.referenceEnergy, at, s.x, 0, n);
        VectorLoops.believed(
                quadrature[tile / TILE_STEP],
                belief[tile / TILE_STEP],
                dense.quadrature[worker],
                dense.inPhase[worker],
                s.x,
                n);
    }

    /** Sums over the blocks of a tile that are known. */
    private void correlate(int tile, Scratch s) {
        float[] x = quadrature[tile / TILE_STEP];
        float[] weight = belief[tile / TILE_STEP];
        double noise = 0;
        int count = 0;
        for (int k = 0; k < n; k++) {
            boolean known = s.margin[k] >= 0;
            s.x[k] = known ? x[k] : 0f;
            s.y[k] = known ? weight[k] : 0f;
            noise += known ? s.noise[k] * s.noise[k] : 0f;
            count += known ? 1 : 0;
        }
        double[] sum = sums[tile];
        for (int d = 0; d < AXIAL_LAGS; d++) {
            sum[d] = product(s.x, d, n);
        }
        sum[AXIAL_LAGS] = product(s.y, 0, n);
        for (int d = 1; d < LATERAL_LAGS; d++) {
            // As if there were as many pairs of lines as there are lines.
            double pairs = LatticeFrame.TILE / (double) (LatticeFrame.TILE - d);
            sum[AXIAL_LAGS + d] = pairs * product(s.x, d * shape.stride, n);
        }
        sum[AXIAL_LAGS + LATERAL_LAGS] = noise;
        sum[AXIAL_LAGS + LATERAL_LAGS + 1] = count;
    }

    private static double product(float[] x, int lag, int n) {
        float a = 0;
        float b = 0;
        float c = 0;
        float d = 0;
        int k = 0;
        for (; k + 3 + lag < n; k += 4) {
            a += x[k] * x[k + lag];
            b += x[k + 1] * x[k + 1 + lag];
            c += x[k + 2] * x[k + 2 + lag];
            d += x[k + 3] * x[k + 3 + lag];
        }
        for (; k + lag < n; k++) {
            a += x[k] * x[k + lag];
        }
        return (double) a + b + c + d;
    }

    /** Writes the rows of a tile, the deviations but for a factor that is known in the end. */
    void judge(int tile, int worker, DisplacementField out) {
        Scratch s = scratch[worker];
        dense.energiesAcross(tile, worker, s.first, s.second);
        VectorLoops.coherence(s.r2, dense.sumRe[worker], dense.sumIm[worker], s.first, s.second, n);
        VectorLoops.noiseRatio(s.noise, s.r2, n);
        System.arraycopy(s.r2, 0, s.margin, 0, n);
        for (int k = 0; k < n; k++) {
            s.margin[k] -= leastCorrelation2;
        }
        judgeEnergy(tile, dense.referenceEnergy, s.first, s);
        judgeEnergy(tile, dense.movedEnergy, s.second, s);
        if (flawed) {
            judgeFlaws(tile, s);
        }
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int line = tile * LatticeFrame.TILE + i;
            if (line < lines) {
                write(line, i * shape.stride, dense.axial[tile], s, out);
                if (out.lateral() != null) {
                    writeLateral(line, i * shape.stride, tile, worker, s, out);
                }
            }
        }
        if (tile % TILE_STEP == 0) {
            correlate(tile, s);
        }
    }

    /** A line's own share of its window's energy, and where that lies in the window. */
    private void judgeEnergy(int tile, float[] plane, float[] energy, Scratch s) {
        int at = shape.first + tile * n;
        System.arraycopy(plane, at, s.x, 0, n);
        VectorLoops.least(s.margin, s.x, energy, MatchJudge.LEAST_OWN_SHARE, n);
        System.arraycopy(energy, 0, s.padded, 1, n);
        System.arraycopy(s.padded, 0, s.x, 0, n);
        System.arraycopy(s.padded, 2, s.y, 0, n);
        // The ends of the lines have a neighbour on one side only.
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int first = i * shape.stride;
            int last = first + shape.blocks - 1;
            s.x[first] = energy[first];
            s.y[last] = energy[last];
        }
        VectorLoops.leastEven(s.margin, s.x, s.y, farthestAlong, n);
        if (across.halfWidth() > 0) {
            moments(tile, at, plane, energy, s);
            VectorLoops.leastWithin(s.margin, energy, s.moment, farthestAcross, n);
        }
    }

    private void moments(int tile, int at, float[] plane, float[] energy, Scratch s) {
        for (int j = 1; j <= across.halfWidth(); j++) {
            System.arraycopy(plane, at + j * shape.stride, s.x, 0, n);
            System.arraycopy(plane, at - j * shape.stride, s.y, 0, n);
            if (j == 1) {
                VectorLoops.scaleDifference(s.moment, s.x, s.y, across.tap(1), n);
            } else {
                VectorLoops.addScaledDifference(s.moment, s.x, s.y, j * across.tap(j), n);
            }
        }
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int line = tile * LatticeFrame.TILE + i;
            float even = line < lines ? evenMoments[line] : 0f;
            if (even != 0) {
                for (int k = i * shape.stride; k < i * shape.stride + shape.blocks; k++) {
                    s.moment[k] -= even * energy[k];
                }
            }
        }
    }

    private void write(int line, int at, float[] u, Scratch s, DisplacementField out) {
        int to = line * lineStep * rows;
        float[] axial = out.axial();
        float[] correlation = out.correlation();
        float[] deviation = out.axialDeviation();
        float side = sideFactors[line];
        for (int row = 0; row < rows; row++) {
            int k = at + row;
            floor.set(line * rows + row, Math.min(s.first[k], s.second[k]));
            boolean known = s.margin[k] >= 0;
            axial[to + row] = known ? metresPerSample * u[k] : Float.NaN;
            correlation[to + row] = known ? (float) Math.sqrt(Math.min(s.r2[k], 1f)) : 0f;
            deviation[to + row] = known ? side * endFactors[row] * s.noise[k] : Float.NaN;
        }
    }

    private void writeLateral(
            int line, int at, int tile, int worker, Scratch s, DisplacementField out) {
        int to = line * lineStep * rows;
        float[] v = dense.lateral[tile];
        float[] slope = dense.slopePower(worker);
        float[] lateral = out.lateral();
        float[] deviation = out.lateralDeviation();
        for (int row = 0; row < rows; row++) {
            int k = at + row;
            // The slope of the echo across the lines takes the place of the carrier.
            float sharpness = (float) Math.sqrt(slope[k] / (s.first[k] + 1e-30f));
            boolean known = s.margin[k] >= 0 && sharpness > 0;
            lateral[to + row] = known ? pitches[row] * v[k] : Float.NaN;
            deviation[to + row] =
                    known ? pitches[row] * sideFactors[line] * s.noise[k] / sharpness : Float.NaN;
        }
    }

    /** Factor of the deviations, and the floor of the echo. */
    void complete(DisplacementField out) {
        double perNoise = phasePerNoise();
        float scale = (float) (metresPerRadian * perNoise);
        // Lateral windows are half as long and wide again.
        float lateralScale = (float) (perNoise / 1.5);
        float[] axial = out.axialDeviation();
        for (int i = 0; i < axial.length; i++) {
            // Math.max keeps what is unknown unknown.
            axial[i] = Math.max(leastDeviation, scale * axial[i]);
        }
        if (out.lateral() != null) {
            float[] lateral = out.lateralDeviation();
            float least = (float) (LEAST_LATERAL * pitches[rows / 2]);
            for (int i = 0; i < lateral.length; i++) {
                lateral[i] = Math.max(least, lateralScale * lateral[i]);
            }
        }
        floor.apply(out, rows, lineStep);
        if (lineStep > 1) {
            fillBetween(out);
        }
    }

    /** Lines between those that were tracked: the mean of both, where both are known. */
    private void fillBetween(DisplacementField out) {
        int all = out.layout().geometry().lines();
        for (int line = 1; line < all; line += 2) {
            int below = (line - 1) * rows;
            int above = line + 1 < all ? below + 2 * rows : below;
            int to = line * rows;
            for (int row = 0; row < rows; row++) {
                mean(out.axial(), below + row, above + row, to + row);
                mean(out.axialDeviation(), below + row, above + row, to + row);
                mean(out.correlation(), below + row, above + row, to + row);
                if (out.lateral() != null) {
                    mean(out.lateral(), below + row, above + row, to + row);
                    mean(out.lateralDeviation(), below + row, above + row, to + row);
                }
                if (Float.isNaN(out.axial()[to + row])) {
                    out.markUnknown(to + row);
                }
            }
        }
    }

    private static void mean(float[] x, int a, int b, int to) {
        x[to] = 0.5f * (x[a] + x[b]);
    }

    /** Deviation of a window's phase (rad) over the root of (1 - r2) / r2. */
    private double phasePerNoise() {
        Arrays.fill(total, 0);
        for (int tile = 0; tile < sums.length; tile += TILE_STEP) {
            for (int i = 0; i < total.length; i++) {
                total[i] += sums[tile][i];
            }
        }
        double white = Math.sqrt(0.5 / independent);
        double noise = total[AXIAL_LAGS + LATERAL_LAGS];
        double count = total[AXIAL_LAGS + LATERAL_LAGS + 1];
        if (!(total[0] > 0) || !(noise > 0) || !(total[AXIAL_LAGS] > 0)) {
            return white;
        }
        double along = autocorrelationAlong[0];
        double alongWeights = autocorrelationAlong[0];
        for (int d = 1; d < AXIAL_LAGS; d++) {
            along += 2 * autocorrelationAlong[d] * total[d] / total[0];
            alongWeights += 2 * autocorrelationAlong[d];
        }
        double sideways = autocorrelationAcross[0];
        double sidewaysWeights = autocorrelationAcross[0];
        for (int d = 1; d < LATERAL_LAGS; d++) {
            sideways += 2 * autocorrelationAcross[d] * total[AXIAL_LAGS + d] / total[0];
            sidewaysWeights += 2 * autocorrelationAcross[d];
        }
        along = Math.max(along, LEAST_OF_WHITE * autocorrelationAlong[0]);
        sideways = Math.max(sideways, LEAST_OF_WHITE * autocorrelationAcross[0]);
        // The window's own mean has been taken away from all of them, as far as it was known then.
        double kept = 1 - TAKEN * Math.min(1, alongWeights * sidewaysWeights);
        double variance = total[0] / total[AXIAL_LAGS] * along * sideways / kept;
        return Math.sqrt(variance / (noise / count));
    }

    // ---------------------------------------------------------------- flawed samples

    /** Share of flawed samples in each block of either frame, smoothed along the lines. */
    private void flawsAlong(int tile, Scratch s) {
        Arrays.fill(s.flaws, 0f);
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int line = tile * LatticeFrame.TILE + i;
            if (line < lines) {
                for (int m = 0; m < reference.length; m++) {
                    int at = line * lineStep * reference.length + m;
                    s.flaws[i * shape.stride + m / shape.block] +=
                            Math.max(reference.flaws[at], moved.flaws[at]) / shape.block;
                }
            }
        }
        dense.smoothAlong(s.flaws, flaws, tile, s.x, s.y, s.z, s.w);
    }

    private void judgeFlaws(int tile, Scratch s) {
        dense.smoothAcross(flaws, tile, s.flaws, s.x, s.y, s.z, s.w);
        for (int k = 0; k < n; k++) {
            s.margin[k] = Math.min(s.margin[k], MatchJudge.MOST_FLAWED - s.flaws[k]);
        }
    }
}
