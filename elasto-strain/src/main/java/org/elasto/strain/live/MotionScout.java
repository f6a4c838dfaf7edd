package org.elasto.strain.live;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;

/**
 * Looks at a few pairs of neighbouring lines to tell, at a small part of the cost of tracking,
 * whether the probe has contact and how tissue has moved since an earlier frame.
 *
 * <p><b>Motion along the line</b>: the phase of the product of the two frames, averaged over cells
 * of about a millimetre and the lines of a group (lag-one autocorrelation; Kasai et al., IEEE Trans
 * Sonics Ultrason 32(3), 1985), followed down from the probe's face: each cell is compared at the
 * lag that the cells above predict, so that phase does not wrap as long as tissue is squeezed by
 * less than about 4 %.
 *
 * <p><b>Sideways motion</b>: with a Gaussian beam, echoes of lines a distance d apart correlate by
 * exp(-d&sup2;/2w&sup2;). A shift by x takes one line of a pair nearer to its neighbour's earlier
 * echo and the other farther, so that the two correlations differ by exp(2 p x / w&sup2;), p being
 * the line pitch; w follows from the correlation within one frame. Good to about one and a half
 * pitches, worse beyond.
 *
 * <p><b>Contact</b>: echoes of tissue are alike on neighbouring lines, because the beam is wider
 * than the pitch, and in consecutive frames; noise is neither. The first millimetres, where the
 * probe rings down even in air, are left out. Thresholds: common practice, no source.
 *
 * <p>One thread at a time; allocates nothing after it is made; does not depend on the workers.
 */
final class MotionScout {

    private static final double BANDWIDTH = 0.6;
    private static final double CELL_DEPTH = 1.2e-3;
    private static final int MOST_GROUPS = 4;
    private static final int PAIRS_PER_GROUP = 3;

    /** Correlation from which on cells of two frames count as the same tissue. */
    private static final double SAME_TISSUE = 0.5;

    /** Likeness of neighbouring lines from which on a cell counts as echo. */
    private static final double ECHO = 0.45;

    /** Strain from frame to frame up to which the start of a deep scan is looked for. */
    private static final double MOST_STRAIN = 0.03;

    private static final int START_CELLS = 3;
    private static final double FACE_DEPTH = 3e-3;
    private static final double CONTACT_DEPTH = 15e-3;

    private final ScanGeometry geometry;
    private final Workers workers;
    private final BasebandConverter[] converters;
    private final int[] scoutLines;
    private final int partner;
    private final int groups;
    private final int pairs;
    private final int length;
    private final int cells;
    private final int cellSamples;
    private final double spacing;
    private final double phasePerMetre;
    private final int faceCell;
    private final int contactCell;

    // For each slot, line by line.
    private final float[][][] re;
    private final float[][][] im;
    private final float[][] lineFlaws;
    private final float[][] flaws;

    private final CellSums[] cellSums;
    private final double[][] weights;
    private final float[][] displacement;
    private final boolean[][] echo;
    private final boolean[][] same;
    private final double[] groupStrain;
    private final double[] sorted;
    private final Workers.Task convert = this::convertLine;
    private final Workers.Task follow = (group, worker) -> follow(group);

    // Arguments of the call under way.
    private RfFrame frame;
    private int slot;
    private int earlier;
    private int later;
    private double expectedStrain;

    // Results of the last comparison.
    private double strain;
    private double sideways;
    private double contactShare;
    private double sameShare;
    private double depthReached;

    MotionScout(ScanGeometry geometry, int slots, Workers workers) {
        this.geometry = geometry;
        this.workers = workers;
        double bandwidth = BasebandConverter.bandFor(geometry, BANDWIDTH);
        int decimation = BasebandConverter.decimationFor(geometry, bandwidth);
        converters = new BasebandConverter[workers.count()];
        for (int i = 0; i < converters.length; i++) {
            // Flat flanks take a third of the taps, and what noise they let in averages out.
            double flanks = BasebandConverter.flatFlanks(geometry, bandwidth, decimation);
            converters[i] = new BasebandConverter(geometry, bandwidth, decimation, flanks);
        }
        length = converters[0].length();
        spacing = converters[0].sampleSpacing();
        cellSamples = Math.max(1, Math.min(length, (int) Math.round(CELL_DEPTH / spacing)));
        cells = Math.max(1, length / cellSamples);
        phasePerMetre = 4 * Math.PI * geometry.centreFrequency() / geometry.soundSpeed();

        partner = geometry.lines() > 1 ? 1 : 0;
        groups = Math.max(1, Math.min(MOST_GROUPS, geometry.lines() / 2));
        pairs = Math.max(1, Math.min(PAIRS_PER_GROUP, geometry.lines() / (2 * groups)));
        scoutLines = new int[groups * pairs * (1 + partner)];
        for (int i = 0; i < groups * pairs; i++) {
            int line = (int) ((i + 0.5) * geometry.lines() / (groups * pairs));
            line = Math.min(line, geometry.lines() - 1 - partner);
            scoutLines[i * (1 + partner)] = line;
            scoutLines[i * (1 + partner) + partner] = line + partner;
        }
        faceCell = cellAt(FACE_DEPTH, 0);
        contactCell = cellAt(CONTACT_DEPTH, faceCell + 1);

        re = new float[slots][scoutLines.length][length];
        im = new float[slots][scoutLines.length][length];
        lineFlaws = new float[slots][scoutLines.length];
        flaws = new float[converters.length][length];
        cellSums = new CellSums[groups];
        Arrays.setAll(cellSums, i -> new CellSums(cells, cellSamples, length, pairs, partner));
        weights = new double[groups][cells];
        displacement = new float[groups][cells];
        echo = new boolean[groups][cells];
        same = new boolean[groups][cells];
        groupStrain = new double[groups];
        sorted = new double[groups];
    }

    private int cellAt(double depth, int least) {
        double samples = (depth - geometry.firstDepth()) / spacing;
        return Math.min(cells, Math.max(least, (int) Math.ceil(samples / cellSamples)));
    }

    int groups() {
        return groups;
    }

    int cells() {
        return cells;
    }

    /** Depth of the middle of a cell (m). */
    double depthOfCell(int cell) {
        return geometry.firstDepth() + (cell * cellSamples + (cellSamples - 1) / 2.0) * spacing;
    }

    /** Line number, not whole, of the middle of a group. */
    double lineOfGroup(int group) {
        double sum = 0;
        for (int i = 0; i < pairs; i++) {
            sum += scoutLines[(group * pairs + i) * (1 + partner)] + partner / 2.0;
        }
        return sum / pairs;
    }

    /** Looks at a frame and keeps what it needs under a slot. */
    void take(int newSlot, RfFrame newFrame) {
        Check.same("geometry of the frame", newFrame.geometry(), geometry);
        frame = newFrame;
        slot = newSlot;
        try {
            workers.run(scoutLines.length, convert);
        } finally {
            frame = null;
        }
    }

    private void convertLine(int i, int worker) {
        float[] flawed = flaws[worker];
        boolean any =
                converters[worker].convert(
                        frame, scoutLines[i], re[slot][i], im[slot][i], 0, flawed, 0);
        float sum = 0;
        if (any) {
            for (float share : flawed) {
                sum += share;
            }
        }
        lineFlaws[slot][i] = sum / length;
    }

    /** Share of samples of a frame, as far as it was looked at, that are flawed. */
    double flawedShare(int ofSlot) {
        double sum = 0;
        for (float share : lineFlaws[ofSlot]) {
            sum += share;
        }
        return sum / scoutLines.length;
    }

    /**
     * Compares two frames.
     *
     * @param earlierSlot the one that came before; the same slot again to look at contact alone
     * @param laterSlot the newer one, at whose places motion is measured
     * @param newExpectedStrain strain that is likely, to follow motion with
     */
    void compare(int earlierSlot, int laterSlot, double newExpectedStrain) {
        earlier = earlierSlot;
        later = laterSlot;
        expectedStrain = newExpectedStrain;
        workers.run(groups, follow);
        summarise();
    }

    private void follow(int group) {
        CellSums all = cellSums[group];
        float[] d = displacement[group];
        double[] weight = weights[group];
        double cellDepth = cellSamples * spacing;
        double slope = expectedStrain;
        all.begin(re[later], im[later], re[earlier], im[earlier], group * pairs * (1 + partner));
        double predicted = start(group, slope * depthOfCell(0));
        for (int cell = 0; cell < cells; cell++) {
            int lag = (int) Math.rint(predicted / spacing);
            int from = cell * cellSamples;
            boolean inside = from + lag >= 0 && from + lag + cellSamples <= length;
            all.need(cell, inside ? lag : 0);
            double power = all.power(cell);
            // The strongest of three: the same lines, or neighbours if tissue slid sideways.
            int best = CellSums.SAME;
            double most = all.size(cell, CellSums.SAME);
            for (int crosswise = CellSums.UP; crosswise <= CellSums.DOWN; crosswise += 2) {
                double size = 2 * all.size(cell, crosswise);
                if (size > most) {
                    most = size;
                    best = crosswise;
                }
            }
            double rho = inside && power > 0 ? Math.min(1, most / power) : 0;
            same[group][cell] = rho >= SAME_TISSUE;
            if (same[group][cell]) {
                double rest = all.phase(cell, best) - phasePerMetre * predicted;
                rest -= 2 * Math.PI * Math.rint(rest / (2 * Math.PI));
                double miss = rest / phasePerMetre;
                d[cell] = (float) (predicted + miss);
                slope += 0.3 * miss / cellDepth;
                weight[cell] = rho * rho / (1.01 - rho * rho);
            } else {
                d[cell] = (float) predicted;
                weight[cell] = 0;
            }
            predicted = d[cell] + slope * cellDepth;
        }
        markEcho(group);
        fit(group);
    }

    /**
     * Motion of the topmost cells. Tissue at the probe's face stays where it is; where a scan
     * begins farther down, the best lag is looked for.
     */
    private double start(int group, double expected) {
        int reach = (int) Math.ceil(MOST_STRAIN * geometry.firstDepth() / spacing);
        if (reach == 0) {
            return expected;
        }
        int run = Math.min(START_CELLS * cellSamples, length);
        int best = 0;
        double most = -1;
        for (int lag = -reach; lag <= reach; lag++) {
            double rho = likeness(group, Math.max(0, -lag), lag, run);
            if (rho > most) {
                most = rho;
                best = lag;
            }
        }
        // Between the lags, so that phase is not off by a turn.
        double before = likeness(group, Math.max(0, 1 - best), best - 1, run);
        double after = likeness(group, Math.max(0, -1 - best), best + 1, run);
        double bend = before - 2 * most + after;
        double between = bend < 0 ? (before - after) / (2 * bend) : 0;
        return (best + Math.max(-0.5, Math.min(0.5, between))) * spacing;
    }

    /** Mean correlation of a few cells at a lag, each on its own, as strain turns their phase. */
    private double likeness(int group, int from, int lag, int run) {
        int end = Math.min(from + run, length - Math.max(0, lag));
        double sum = 0;
        int count = 0;
        for (int cell = from; cell + cellSamples <= end; cell += cellSamples) {
            sum += cellLikeness(group, cell, lag);
            count++;
        }
        return count == 0 ? 0 : sum / count;
    }

    private double cellLikeness(int group, int from, int lag) {
        double sumRe = 0;
        double sumIm = 0;
        double laterPower = 0;
        double earlierPower = 0;
        for (int i = 0; i < pairs * (1 + partner); i++) {
            int line = group * pairs * (1 + partner) + i;
            float[] laterRe = re[later][line];
            float[] laterIm = im[later][line];
            float[] earlierRe = re[earlier][line];
            float[] earlierIm = im[earlier][line];
            for (int k = from; k < from + cellSamples; k++) {
                float ar = laterRe[k];
                float ai = laterIm[k];
                float br = earlierRe[k + lag];
                float bi = earlierIm[k + lag];
                sumRe += ar * br + ai * bi;
                sumIm += ai * br - ar * bi;
                laterPower += ar * ar + ai * ai;
                earlierPower += br * br + bi * bi;
            }
        }
        double power = laterPower * earlierPower;
        return power > 0 ? Math.hypot(sumRe, sumIm) / Math.sqrt(power) : 0;
    }

    private void markEcho(int group) {
        for (int cell = 0; cell < cells; cell++) {
            double power = cellSums[group].of(cell, CellSums.LATER_POWER);
            boolean alike = partner == 1 && cellSums[group].neighbours(cell) >= ECHO;
            boolean stays = earlier != later && same[group][cell];
            echo[group][cell] = power > 0 && (alike || stays);
        }
    }

    /** Strain of a group: slope of a line through its displacements, twice, outliers left out. */
    private void fit(int group) {
        double slope = Double.NaN;
        double offset = 0;
        double limit = Double.POSITIVE_INFINITY;
        for (int pass = 0; pass < 2; pass++) {
            double s0 = 0;
            double s1 = 0;
            double s2 = 0;
            double t0 = 0;
            double t1 = 0;
            double rest = 0;
            int used = 0;
            for (int cell = faceCell; cell < cells; cell++) {
                double w = weights[group][cell];
                double z = cell - cells / 2.0;
                double miss = displacement[group][cell] - offset - slope * z;
                if (w > 0 && !(Math.abs(miss) > limit)) {
                    s0 += w;
                    s1 += w * z;
                    s2 += w * z * z;
                    t0 += w * displacement[group][cell];
                    t1 += w * z * displacement[group][cell];
                    used++;
                }
            }
            double det = s0 * s2 - s1 * s1;
            if (used < 4 || !(det > 1e-9 * s0 * s2)) {
                slope = Double.NaN;
                break;
            }
            slope = (s0 * t1 - s1 * t0) / det;
            offset = (t0 - slope * s1) / s0;
            for (int cell = faceCell; cell < cells; cell++) {
                double miss = displacement[group][cell] - offset - slope * (cell - cells / 2.0);
                rest += weights[group][cell] * miss * miss;
            }
            limit = 2.5 * Math.sqrt(rest / s0);
        }
        groupStrain[group] = slope / (cellSamples * spacing);
    }

    private void summarise() {
        int touching = 0;
        int echoes = 0;
        int known = 0;
        int strains = 0;
        double up = 0;
        double down = 0;
        double likeness = 0;
        for (int g = 0; g < groups; g++) {
            int near = 0;
            for (int cell = faceCell; cell < cells; cell++) {
                if (echo[g][cell]) {
                    near += cell < contactCell ? 1 : 0;
                    echoes++;
                    known += same[g][cell] ? 1 : 0;
                    CellSums all = cellSums[g];
                    double power = all.power(cell);
                    if (power > 0) {
                        up += 2 * all.size(cell, CellSums.UP) / power;
                        down += 2 * all.size(cell, CellSums.DOWN) / power;
                        likeness += all.neighbours(cell);
                    }
                }
            }
            touching += 2 * near >= contactCell - faceCell ? 1 : 0;
            if (!Double.isNaN(groupStrain[g])) {
                sorted[strains++] = groupStrain[g];
            }
        }
        Arrays.sort(sorted, 0, strains);
        strain = strains == 0 ? Double.NaN : (sorted[(strains - 1) / 2] + sorted[strains / 2]) / 2;
        contactShare = (double) touching / groups;
        sameShare = echoes == 0 ? 0 : (double) known / echoes;
        // A line in contact is taken to be so from the face on, where nobody looks for echoes.
        double passed = (echoes + (double) touching * faceCell) * cellSamples * spacing;
        depthReached = (passed + touching * geometry.firstDepth()) / groups;
        sideways = shift(up, down, likeness / Math.max(1, echoes));
    }

    private double shift(double up, double down, double likeness) {
        if (partner == 0 || !(up > 0) || !(down > 0) || !(likeness > 0.05 && likeness < 0.995)) {
            return 0;
        }
        double middle = (geometry.firstDepth() + geometry.lastDepth()) / 2;
        double pitches = (Math.log(down) - Math.log(up)) / (-4 * Math.log(likeness));
        return Math.max(-2, Math.min(2, pitches)) * geometry.lineSpacing(middle);
    }

    /** Strain since the earlier frame, positive when pressed; NaN if it cannot be told. */
    double strain() {
        return strain;
    }

    /** Sideways motion since the earlier frame (m), positive towards higher lines. */
    double sideways() {
        return sideways;
    }

    /** Share of the groups of lines that have contact. */
    double contactShare() {
        return contactShare;
    }

    /** Share of the cells with echo that are recognised from the earlier frame. */
    double sameShare() {
        return sameShare;
    }

    /** Depth down to which there are echoes (m), averaged over the lines. */
    double depthReached() {
        return depthReached;
    }

    /** How far each cell's tissue was below where it is now (m): group's own array. */
    float[] displacement(int group) {
        return displacement[group];
    }
}
