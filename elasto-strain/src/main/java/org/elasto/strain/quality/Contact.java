package org.elasto.strain.quality;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/** The metric that {@link ContactProvider} makes and describes. */
final class Contact extends PairMetric {

    /**
     * Deviation of the echo's power spectrum over the centre frequency: a Gaussian pulse at half
     * its height 30 % beside the centre.
     */
    private static final double SPREAD = 0.3 / Math.sqrt(4 * Math.log(2));

    private final ContactConfig config;
    private final int firstSample;
    private final int blockSamples;

    /** Blocks of a line, and how many of them count for the score. */
    private final int blocks;

    private final int counted;

    /** The lines looked at, and for each line of the scan the nearest of them. */
    private final int[] looked;

    private final int[] nearest;

    /** For each row of the strain image its block, -1 if it lies in none. */
    private final int[] blockOfRow;

    /** Half a period in samples, and what an echo correlates with itself over that. */
    private final int lag;

    private final double echoCorrelation;

    /** The line looked at and the one before. */
    private final float[][] samples;

    private final EchoSums sums = new EchoSums();

    /** Takes the sums of frames of integers. */
    private final WholeEchoSums wholeSums;

    /** Power of the echo of each block. */
    private final double[] power;

    private final boolean[] echo;
    private final boolean[] alike;
    private final boolean[] tissue;
    private final boolean[] tissueBefore;

    Contact(ContactConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        this.config = config;
        ScanGeometry geometry = field.geometry();
        double spacing = geometry.sampleSpacing();
        lag = lag(geometry);
        echoCorrelation = correlation(geometry, lag);
        double blind = Math.ceil(geometry.sampleAtDepth(config.blindDepth()));
        firstSample = (int) Math.min(geometry.samples(), Math.max(0, blind));
        blockSamples = (int) Math.max(2 * lag, Math.round(config.blockLength() / spacing));
        blocks = (geometry.samples() - firstSample) / blockSamples;
        double deepest = geometry.sampleAtDepth(config.fullDepth());
        counted = (int) Math.min(blocks, Math.max(0, (deepest - firstSample) / blockSamples + 0.5));

        int lines = geometry.lines();
        int step = step(geometry);
        int first = (lines - 1) % step / 2;
        looked = new int[(lines - 1 - first) / step + 1];
        for (int k = 0; k < looked.length; k++) {
            looked[k] = first + k * step;
        }
        nearest = new int[lines];
        for (int line = 0; line < lines; line++) {
            long k = Math.round((line - first) / (double) step);
            nearest[line] = (int) Math.max(0, Math.min(looked.length - 1, k));
        }
        blockOfRow = new int[strain.grid().rows()];
        for (int r = 0; r < blockOfRow.length; r++) {
            double sample = geometry.sampleAtDepth(strain.grid().depth(r));
            double block = Math.floor((sample - firstSample) / blockSamples);
            blockOfRow[r] = block >= 0 && block < blocks ? (int) block : -1;
        }
        samples = new float[2][geometry.samples()];
        wholeSums = new WholeEchoSums(geometry.samples(), lag);
        power = new double[looked.length * blocks];
        echo = new boolean[power.length];
        alike = new boolean[power.length];
        tissue = new boolean[power.length];
        tissueBefore = new boolean[power.length];
    }

    private int step(ScanGeometry geometry) {
        // Lines of a convex probe are closest at its face.
        double pitch = geometry.lineSpacing(config.blindDepth());
        return (int)
                Math.max(
                        1,
                        Math.min(
                                geometry.lines(), Math.ceil(config.lineDistance() / pitch - 1e-9)));
    }

    private static int lag(ScanGeometry geometry) {
        double half = geometry.samplingFrequency() / geometry.centreFrequency() / 2;
        int low = (int) Math.max(1, Math.floor(half));
        return correlation(geometry, low) <= correlation(geometry, low + 1) ? low : low + 1;
    }

    private static double correlation(ScanGeometry geometry, int lag) {
        double periods = lag * geometry.centreFrequency() / geometry.samplingFrequency();
        double turn = 2 * Math.PI * periods;
        return Math.cos(turn) * Math.exp(-0.5 * turn * turn * SPREAD * SPREAD);
    }

    @Override
    public boolean hasMap() {
        return true;
    }

    @Override
    double judge(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map) {
        listen(reference);
        System.arraycopy(tissue, 0, tissueBefore, 0, tissue.length);
        listen(moved);
        int heard = 0;
        for (int i = 0; i < tissue.length; i++) {
            tissue[i] &= tissueBefore[i];
            heard += tissue[i] && i % blocks < counted ? 1 : 0;
        }
        if (map != null) {
            fill(map);
        }
        return counted == 0 ? Double.NaN : (double) heard / ((long) looked.length * counted);
    }

    /** Finds the blocks of a frame in which tissue echoes. */
    private void listen(RfFrame frame) {
        boolean whole = frame.sampleType() == SampleType.INT16;
        for (int k = 0; k < looked.length; k++) {
            float[] line = samples[k % 2];
            if (whole) {
                wholeSums.read(frame, looked[k]);
            } else {
                frame.readLine(looked[k], line, 0);
            }
            for (int b = 0; b < blocks; b++) {
                int i = k * blocks + b;
                int from = firstSample + b * blockSamples;
                if (whole) {
                    wholeSums.take(from, blockSamples, sums);
                } else {
                    sums.take(line, samples[(k + 1) % 2], from, blockSamples, lag);
                }
                listen(i);
                alike[i] = k > 0 && isAlike(i, i - blocks);
            }
        }
        for (int k = 0; k < looked.length; k++) {
            for (int b = 0; b < blocks; b++) {
                int i = k * blocks + b;
                tissue[i] = echo[i] && !isRinging(k, b);
            }
        }
    }

    /** How much of the power of a block is that of an echo. */
    private void listen(int i) {
        double all = sums.squares / (blockSamples - lag);
        // NaN where there is silence or a sample that is not finite: no echo.
        double share = sums.delayed / sums.squares / echoCorrelation;
        double noise = config.noiseLevel();
        boolean strong =
                Double.isNaN(noise) || all * (1 - config.leastEchoShare()) >= noise * noise;
        echo[i] = share >= config.leastEchoShare() && strong;
        power[i] = all * Math.min(1, share);
    }

    /** Whether the echoes of a block are like those of the line looked at before. */
    private boolean isAlike(int i, int j) {
        double product = sums.across / blockSamples / config.largestLikeness();
        return echo[i] && echo[j] && product * product > power[i] * power[j];
    }

    /** Tissue looks different from one line looked at to the next. */
    private boolean isRinging(int k, int b) {
        int i = k * blocks + b;
        return k > 0 && alike[i] || k < looked.length - 1 && alike[i + blocks];
    }

    private void fill(float[] map) {
        int rows = blockOfRow.length;
        for (int line = 0; line < nearest.length; line++) {
            int to = line * rows;
            if (line > 0 && nearest[line] == nearest[line - 1]) {
                System.arraycopy(map, to - rows, map, to, rows);
                continue;
            }
            int from = nearest[line] * blocks;
            for (int r = 0; r < rows; r++) {
                int b = blockOfRow[r];
                map[to + r] = b >= 0 && tissue[from + b] ? 1 : 0;
            }
        }
    }
}
