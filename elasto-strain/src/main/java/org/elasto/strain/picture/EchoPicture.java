package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;
import org.elasto.api.signal.EnvelopeConverter;
import org.elasto.strain.shared.AlignedRows;

/**
 * Brightness of the echoes of a frame: envelope of the band around the centre frequency, on a
 * logarithmic scale.
 *
 * <p>Level 1 is full scale, level 0 lies the dynamic range below it or further; levels are exact to
 * 1e-3 dB, an automatic full scale to 0.05 dB. Samples that are NaN or infinite count as silence.
 *
 * <p>Owns its memory: one thread at a time. After warm-up an update allocates nothing. The result
 * does not depend on the number of workers.
 */
public final class EchoPicture {

    /** Width of the band that is kept, as a share of the centre frequency. */
    private static final double BANDWIDTH = 0.8;

    /** Share of envelope values that the automatic full scale is to hold. */
    private static final double FULL_SCALE_SHARE = 0.998;

    /** Every so many-th sample counts for the full scale; its neighbours are much alike. */
    private static final int COUNTED = 2;

    /** Octaves that echoes are lifted by at most; 48 000 dB. */
    private static final int MOST_OCTAVES = 16000;

    private final PictureConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final EnvelopeConverter[] converters;
    private final RowGrid grid;

    // Of the line that each worker is at.
    private final float[][] power;
    private final int[][] lineCodes;

    /** Brightening of each row: a factor below 2 and, as a code, whole octaves. */
    private final float[] factor;

    private final int[] lift;

    /** The echoes by their codes, line after line. */
    private final int[] codes;

    /** What each worker has counted. */
    private final LevelHistogram[] histograms;

    private final GreyTable greys;

    private final float[] levels;
    private boolean levelsAreOld;
    private final Workers.Task convert = this::convertLine;
    private RfFrame frame;
    private float black = Float.NaN;

    /**
     * Makes an echo picture without echoes: all levels 0.
     *
     * @param config how it looks
     * @param geometry geometry of the frames
     * @param workers threads it may use
     */
    public EchoPicture(PictureConfig config, ScanGeometry geometry, Workers workers) {
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        double bandwidth = BasebandConverter.bandFor(geometry, BANDWIDTH);
        converters = new EnvelopeConverter[workers.count()];
        Arrays.setAll(converters, i -> new EnvelopeConverter(geometry, bandwidth));
        int samples = converters[0].length();
        grid = new RowGrid(samples, geometry.firstDepth(), converters[0].sampleSpacing());
        power = AlignedRows.ofFloats(converters.length, samples);
        lineCodes = AlignedRows.ofIntegers(converters.length, samples);
        factor = new float[samples];
        lift = new int[samples];
        codes = new int[geometry.lines() * samples];
        levels = new float[codes.length];
        brighten();
        int octaves = Decibels.OCTAVES + (lift[samples - 1] >> Decibels.OCTAVE_BITS);
        histograms = new LevelHistogram[converters.length];
        for (int i = 0; i < histograms.length; i++) {
            histograms[i] = new LevelHistogram(octaves);
        }
        greys = new GreyTable(octaves, config.dynamicRange());
    }

    private void brighten() {
        double octave = 10 * Math.log10(2);
        for (int i = 0; i < factor.length; i++) {
            double gain = config.depthGain() * grid.spacing() * i;
            int octaves = (int) Math.min(MOST_OCTAVES, gain / octave);
            factor[i] = (float) Math.min(2, Math.pow(10, (gain - octaves * octave) / 10));
            lift[i] = octaves << Decibels.OCTAVE_BITS;
        }
    }

    /**
     * The depths of the levels of a line.
     *
     * @return the grid
     */
    public RowGrid grid() {
        return grid;
    }

    /**
     * The levels of the last update, from 0 (black) to 1 (white), line after line.
     *
     * @return the picture's own array, which later updates leave as it is until this is called
     */
    public float[] levels() {
        if (levelsAreOld) {
            levelsAreOld = false;
            float gain = (float) (1 / config.dynamicRange());
            for (int i = 0; i < codes.length; i++) {
                levels[i] = level(codes[i], gain);
            }
        }
        return levels;
    }

    private float level(int code, float gain) {
        return code == Decibels.SILENCE || Float.isNaN(black)
                ? 0
                : Math.max(0f, Math.min(1f, (Decibels.ofCode(code) - black) * gain));
    }

    /**
     * Some rows of a line as brightness, as in {@link GreyTable}.
     *
     * @param to receives them, {@code stride} elements from one row to the next
     * @param first where the first one goes
     */
    void greys(int line, int row, int rows, int[] to, int first, int stride) {
        greys.look(codes, line * grid.rows() + row, rows, to, first, stride);
    }

    /**
     * Takes in a frame.
     *
     * @param newFrame the frame; neither modified nor kept
     * @throws IllegalArgumentException if its geometry is another, with both
     */
    public void update(RfFrame newFrame) {
        Check.same("geometry of the frame", newFrame.geometry(), geometry);
        for (LevelHistogram histogram : histograms) {
            histogram.clear();
        }
        frame = newFrame;
        try {
            workers.run(geometry.lines(), convert);
        } finally {
            frame = null;
        }
        black = (float) (fullScale() - config.dynamicRange());
        greys.set(black);
        levelsAreOld = true;
    }

    private double fullScale() {
        if (!Double.isNaN(config.fullScale())) {
            return 20 * Math.log10(config.fullScale());
        }
        LevelHistogram all = histograms[0];
        for (int i = 1; i < histograms.length; i++) {
            all.add(histograms[i]);
        }
        // Even speckle would otherwise be nearly white all over.
        double middle = all.of(0.5) + config.dynamicRange() / 2;
        return Math.max(middle, all.of(FULL_SCALE_SHARE));
    }

    private void convertLine(int line, int worker) {
        int n = factor.length;
        float[] p = power[worker];
        int[] c = lineCodes[worker];
        converters[worker].convert(frame, line, p, 0);
        if (config.depthGain() > 0) {
            multiply(p, factor, n);
        }
        Decibels.codes(p, lift, c, n);
        System.arraycopy(c, 0, codes, line * n, n);
        if (Double.isNaN(config.fullScale())) {
            histograms[worker].add(c, n, COUNTED);
        }
    }

    private static void multiply(float[] values, float[] by, int length) {
        for (int i = 0; i < length; i++) {
            values[i] *= by[i];
        }
    }
}
