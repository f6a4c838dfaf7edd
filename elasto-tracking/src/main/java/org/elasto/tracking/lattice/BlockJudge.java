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
 * window are independent, {@link ResidueCalibration} measures on the pair at hand.
 *
 * <p>A window whose echo lies mostly beside its own place shows the motion of what is bright there.
 * Beyond a bright reflector such places are left out: what comes from there came by detours. Before
 * it they are seen; how far their motion can be off follows from how far the echo lies from them
 * and how fast motion changes, and is added to the deviation.
 */
final class BlockJudge {

    /**
     * Farthest that the echo's centre of energy may lie deeper than a window's middle, in
     * deviations of the window: half a window's length, as far as its own echo still has a say.
     */
    private static final double FARTHEST_AHEAD = 1.5;

    /**
     * How much of what motion changes by on the way to a reflector a place before it is off by. The
     * start of the search has followed the change; seen beside reflectors 20 and 25 dB brighter
     * than tissue, and in a recording, was 0.15 to 0.8 of it.
     */
    private static final double OFF_BY = 0.5;

    /** Smallest predicted deviation, in wavelengths: about the rounding of a float phase. */
    private static final double LEAST_DEVIATION = 1e-6;

    private static final double LEAST_LATERAL = 1e-5;

    /** Places among which the floor of the echo is found. */
    private static final int FLOOR_PLACES = 1024;

    private final LatticeFrame.Shape shape;
    private final DenseCorrelation dense;
    private final EchoFloor floor;
    private final StripSpread spread;

    /** Strips of blocks that are tracked. */
    private final int strips;

    private final int rows;
    private final int n;
    private final double metresPerRadian;
    private final float metresPerSample;
    private final float leastDeviation;
    private final float leastCorrelation2;
    private final float farthestAlong;
    private final float farthestAhead;
    private final double offPerLean;
    private final int strainReach;
    private final float farthestAcross;
    private final ResidueCalibration calibration;
    private final MatchMajority majority;
    private final GaussianWindow across;
    private final float[] pitches;

    /** Distance of the lines at each block of a tile. */
    private final float[] pitchOfBlocks;

    /** By how much deviations are greater than in the middle, where windows are cut, by tile. */
    private final float[][] axialFactors;

    /** The same across the lines alone, times the distance of the lines. */
    private final float[][] lateralFactors;

    /** What each tile's moments across the lines lack at the outermost lines. */
    private final float[] evenMoments;

    /** What is added to the deviations (m) before a reflector, and in which tiles there is any. */
    private final float[] offsets;

    private final boolean[] leans;
    private final float[] flaws;
    private final Scratch[] scratch;
    private final Workers workers;
    private final Workers.Task completeTile = this::completeTile;

    // Of the call of complete under way: the field, and what noise makes of a phase, by row.
    private DisplacementField out;
    private float[] perNoise;
    private LatticeFrame reference;
    private LatticeFrame moved;
    private boolean flawed;

    private final class Scratch {
        final float[] first = new float[n];
        final float[] second = new float[n];
        final float[] r2 = new float[n];
        final float[] margin = new float[n];
        final float[] noise = new float[n];
        final float[] lean = new float[n];
        final float[] moment = new float[n];
        final float[] flaws = new float[n];

        /** 1 where the displacement is known, 0 elsewhere; 0 there, NaN elsewhere. */
        final float[] known = new float[n];

        final float[] unknown = new float[n];
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
            StripSpread spread,
            Workers workers) {
        this.dense = dense;
        this.spread = spread;
        this.workers = workers;
        this.across = across;
        shape = frame.shape;
        strips = shape.strips;
        rows = layout.grid().rows();
        n = LatticeFrame.TILE * shape.stride;
        metresPerSample = (float) frame.spacing;
        metresPerRadian = geometry.wavelength() / (4 * Math.PI);
        leastDeviation = (float) (LEAST_DEVIATION * geometry.wavelength());
        GaussianWindow nominalAlong = new GaussianWindow(along.deviation() / wider, shape.blocks);
        GaussianWindow nominalAcross = new GaussianWindow(across.deviation() / wider, strips);
        double independent =
                Math.max(
                        1.0001,
                        frame.bandShare
                                * shape.block
                                * shape.width
                                * nominalAlong.equivalentLength()
                                * nominalAcross.equivalentLength());
        double windowRows = config.windowLength() / layout.grid().spacing();
        calibration = new ResidueCalibration(frame, rows, along, across, windowRows, independent);
        majority = new MatchMajority(strips, rows, nominalAcross.equivalentLength(), windowRows);
        leastCorrelation2 =
                (float)
                        Math.max(
                                config.minimumCorrelation() * config.minimumCorrelation(),
                                MatchJudge.chanceCorrelation2(independent));
        double farthest = MatchJudge.farthestCentre(independent);
        farthestAlong = (float) Math.tanh(farthest / along.deviation());
        farthestAhead = (float) Math.tanh(Math.max(farthest, FARTHEST_AHEAD) / along.deviation());
        strainReach = (int) Math.max(1, Math.round(along.deviation()));
        // For a Gaussian window the centre is the slope of the logarithm of the energy.
        offPerLean = OFF_BY * along.deviation() * along.deviation() * layout.grid().spacing();
        farthestAcross = (float) (farthest * Math.max(across.deviation(), 1e-9));
        evenMoments = across.endShifts(strips);
        pitches = new float[rows];
        for (int row = 0; row < rows; row++) {
            pitches[row] = (float) geometry.lineSpacing(layout.grid().depth(row));
        }
        pitchOfBlocks = new float[n];
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            System.arraycopy(pitches, 0, pitchOfBlocks, i * shape.stride, rows);
        }
        float[] sides = across.endFactors(strips);
        axialFactors = shape.products(sides, along.endFactors(shape.blocks));
        lateralFactors = shape.products(sides, pitches);
        floor = new EchoFloor(strips * rows, FLOOR_PLACES);
        offsets = new float[strips * rows];
        leans = new boolean[shape.tiles];
        flaws = new float[shape.size];
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch());
    }

    void frames(LatticeFrame a, LatticeFrame b) {
        reference = a;
        moved = b;
        flawed = a != null && (a.isFlawed() || b.isFlawed());
    }

    /** Notes a tile's quadrature, right after its product. */
    void measure(int tile, int worker) {
        Scratch s = scratch[worker];
        if (flawed) {
            flawsAlong(tile, s);
        }
        calibration.note(tile, dense.quadrature(worker));
    }

    /** Writes the rows of a tile, the deviations but for a factor that is known in the end. */
    void judge(int tile, int worker, DisplacementField out) {
        Scratch s = scratch[worker];
        dense.energiesAcross(tile, worker, s.first, s.second);
        VectorLoops.coherence(s.r2, dense.sumRe[worker], dense.sumIm[worker], s.first, s.second, n);
        VectorLoops.noiseRatio(s.noise, s.r2, n);
        VectorLoops.shift(s.margin, s.r2, -leastCorrelation2, n);
        Arrays.fill(s.lean, 0f);
        judgeEnergy(tile, dense.referenceEnergy, s.first, s);
        judgeEnergy(tile, dense.movedEnergy, s.second, s);
        if (flawed) {
            judgeFlaws(tile, s);
        }
        if (leans[tile]) {
            int end = Math.min(strips, (tile + 1) * LatticeFrame.TILE);
            Arrays.fill(offsets, tile * LatticeFrame.TILE * rows, end * rows, 0f);
            leans[tile] = false;
        }
        lean(tile, s);
        write(tile, s, out);
        if (out.lateral() != null) {
            writeLateral(tile, s, out);
        }
        VectorLoops.subtractFrom(s.x, s.lean, farthestAlong, n);
        VectorLoops.step(s.y, s.x, n);
        VectorLoops.multiply(s.known, s.known, s.y, n);
        calibration.measure(tile, s.first, s.second, s.r2, s.known, s.x, s.y, s.z);
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
        VectorLoops.leastBetween(s.margin, s.x, s.y, farthestAlong, farthestAhead, n);
        VectorLoops.lean(s.lean, s.x, s.y, n);
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
            int strip = tile * LatticeFrame.TILE + i;
            float even = strip < strips ? evenMoments[strip] : 0f;
            if (even != 0) {
                for (int k = i * shape.stride; k < i * shape.stride + shape.blocks; k++) {
                    s.moment[k] -= even * energy[k];
                }
            }
        }
    }

    private void write(int tile, Scratch s, DisplacementField out) {
        VectorLoops.step(s.known, s.margin, n);
        VectorLoops.zeroOrUnknown(s.unknown, s.known, n);
        VectorLoops.min(s.x, s.first, s.second, n);
        VectorLoops.scaleAndAdd(s.y, dense.axial[tile], metresPerSample, s.unknown, n);
        VectorLoops.multiplyAndAdd(s.z, s.noise, axialFactors[tile], s.unknown, n);
        noMatch(s.w, s);
        VectorLoops.correlation(s.w, s.r2, s.known, s.w, n);
        write(tile, s.x, floor.energy());
        write(tile, s.y, out.axial());
        write(tile, s.z, out.axialDeviation());
        write(tile, s.w, out.correlation());
    }

    /** Writes the rows of a tile, strip after strip. */
    private void write(int tile, float[] values, float[] plane) {
        int first = tile * LatticeFrame.TILE;
        for (int strip = first; strip < Math.min(strips, first + LatticeFrame.TILE); strip++) {
            System.arraycopy(values, (strip - first) * shape.stride, plane, strip * rows, rows);
        }
    }

    /** 1 where there is an echo that does not match, 0 elsewhere. */
    private void noMatch(float[] result, Scratch s) {
        VectorLoops.subtractFrom(result, s.r2, leastCorrelation2, n);
        VectorLoops.step(result, result, n);
        if (flawed) {
            for (int k = 0; k < n; k++) {
                result[k] = s.flaws[k] > MatchJudge.MOST_FLAWED ? 0f : result[k];
            }
        }
    }

    /** Places before something bright. */
    private void lean(int tile, Scratch s) {
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int strip = tile * LatticeFrame.TILE + i;
            int at = i * shape.stride;
            for (int row = 0; row < rows && strip < strips; row++) {
                if (s.lean[at + row] > farthestAlong && s.margin[at + row] >= 0) {
                    lean(strip, row, at + row, tile, s);
                }
            }
        }
    }

    /** A place before something bright: what its motion may be off by, if it has its own echo. */
    private void lean(int strip, int row, int k, int tile, Scratch s) {
        int at = shape.first + strip * shape.stride + row;
        float own = 0;
        for (float[] energy : reference.energy) {
            own += 0.25f * (energy[at - 1] + 2 * energy[at] + energy[at + 1]);
        }
        if (!(own >= MatchJudge.LEAST_OWN_SHARE * s.first[k])) {
            s.margin[k] = -1;
            return;
        }
        float[] u = dense.axial[tile];
        int before = Math.max(0, row - strainReach);
        int after = Math.min(shape.blocks - 1, row + strainReach);
        float rise = u[k - row + after] - u[k - row + before];
        double strain = rise / (double) ((after - before) * shape.block);
        // The lean is the tangent of the slope of the logarithm, per block.
        double slope = 0.5 * Math.log((1 + s.lean[k]) / (1 - s.lean[k]));
        offsets[strip * rows + row] = (float) (Math.abs(strain) * slope * offPerLean);
        leans[tile] = true;
    }

    private void writeLateral(int tile, Scratch s, DisplacementField out) {
        // The slope of the echo across the lines takes the place of the carrier.
        VectorLoops.rootOfRatio(s.x, dense.slopePower(tile), s.first, n);
        VectorLoops.zeroOrUnknown(s.y, s.x, n);
        VectorLoops.accumulate(s.y, s.unknown, n);
        VectorLoops.multiplyAndAdd(s.z, dense.lateral[tile], pitchOfBlocks, s.y, n);
        VectorLoops.productOver(s.w, s.noise, lateralFactors[tile], s.x, s.y, n);
        write(tile, s.z, out.lateral());
        write(tile, s.w, out.lateralDeviation());
    }

    /** Factors of the deviations, the floor of the echo, and islands. */
    void complete(DisplacementField field) {
        out = field;
        perNoise = calibration.complete();
        floor.find();
        workers.run(shape.tiles, completeTile);
        majority.apply(out);
        spread.spread(out);
        out = null;
    }

    private void completeTile(int tile, int worker) {
        Scratch s = scratch[worker];
        int first = tile * LatticeFrame.TILE;
        int end = Math.min(strips, first + LatticeFrame.TILE);
        if (first >= end) {
            return;
        }
        float radian = (float) metresPerRadian;
        // Lateral windows are half as long and wide again.
        float least = (float) (LEAST_LATERAL * pitches[rows / 2]);
        for (int at = first * rows; at < end * rows; at += rows) {
            scale(out.axialDeviation(), at, radian, leastDeviation, s);
            if (out.lateral() != null) {
                scale(out.lateralDeviation(), at, 1 / 1.5f, least, s);
            }
        }
        if (leans[tile]) {
            float[] axial = out.axialDeviation();
            for (int i = first * rows; i < end * rows; i++) {
                axial[i] = (float) Math.sqrt(axial[i] * axial[i] + offsets[i] * offsets[i]);
            }
        }
        floor.apply(out, first * rows, end * rows);
    }

    /** The deviations of a strip, which lack what noise makes of a phase. */
    private void scale(float[] deviation, int at, float factor, float least, Scratch s) {
        System.arraycopy(deviation, at, s.x, 0, rows);
        VectorLoops.scaleToAtLeast(s.x, perNoise, factor, least, rows);
        System.arraycopy(s.x, 0, deviation, at, rows);
    }

    // ---------------------------------------------------------------- flawed samples

    /** Share of flawed samples in each block of either frame, smoothed along the lines. */
    private void flawsAlong(int tile, Scratch s) {
        Arrays.fill(s.flaws, 0f);
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int strip = tile * LatticeFrame.TILE + i;
            int end = Math.min(reference.lines, (strip + 1) * shape.width);
            for (int line = strip * shape.width; line < end; line++) {
                for (int m = 0; m < reference.length; m++) {
                    int at = line * reference.length + m;
                    s.flaws[i * shape.stride + m / shape.block] +=
                            Math.max(reference.flaws[at], moved.flaws[at])
                                    / (shape.block * shape.width);
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
