package org.elasto.strain.quality;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
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

    private final float[][] samples;
    private final double[] power;
    private final double[] echoShare;
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
        power = new double[looked.length * blocks];
        echoShare = new double[power.length];
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
        for (int k = 0; k < looked.length; k++) {
            float[] line = samples[k % 2];
            frame.readLine(looked[k], line, 0);
            for (int b = 0; b < blocks; b++) {
                listen(line, k * blocks + b, firstSample + b * blockSamples);
            }
            if (k > 0) {
                compare(samples[(k - 1) % 2], line, k);
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
    private void listen(float[] x, int i, int from) {
        double squares = 0;
        double products = 0;
        int end = from + blockSamples - lag;
        for (int n = from; n < end; n++) {
            squares += ((double) x[n] * x[n] + (double) x[n + lag] * x[n + lag]) / 2;
            products += (double) x[n] * x[n + lag];
        }
        power[i] = squares / (end - from);
        // NaN where there is silence or a sample that is not finite: no echo.
        echoShare[i] = products / squares / echoCorrelation;
        double noise = config.noiseLevel();
        boolean strong =
                Double.isNaN(noise) || power[i] * (1 - config.leastEchoShare()) >= noise * noise;
        echo[i] = echoShare[i] >= config.leastEchoShare() && strong;
    }

    /** Whether the blocks of a line looked at are like those of the one before. */
    private void compare(float[] before, float[] line, int k) {
        for (int b = 0; b < blocks; b++) {
            int i = k * blocks + b;
            int j = i - blocks;
            alike[i] = false;
            if (!echo[i] || !echo[j]) {
                continue;
            }
            int from = firstSample + b * blockSamples;
            double products = 0;
            for (int n = from; n < from + blockSamples; n++) {
                products += (double) before[n] * line[n];
            }
            double echoes =
                    Math.sqrt(power[i] * Math.min(1, echoShare[i]))
                            * Math.sqrt(power[j] * Math.min(1, echoShare[j]))
                            * blockSamples;
            alike[i] = Math.abs(products) > config.largestLikeness() * echoes;
        }
    }

    /** Tissue looks different from one line looked at to the next. */
    private boolean isRinging(int k, int b) {
        int i = k * blocks + b;
        return k > 0 && alike[i] || k < looked.length - 1 && alike[i + blocks];
    }

    private void fill(float[] map) {
        int rows = blockOfRow.length;
        for (int line = 0; line < nearest.length; line++) {
            int from = nearest[line] * blocks;
            for (int r = 0; r < rows; r++) {
                int b = blockOfRow[r];
                map[line * rows + r] = b >= 0 && tissue[from + b] ? 1 : 0;
            }
        }
    }
}
