package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;

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

    private final PictureConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final BasebandConverter[] converters;
    private final float[][] re;
    private final float[][] im;
    private final RowGrid grid;
    private final float[] levels;
    private final float[][] power;

    /** What each worker has counted. */
    private final LevelHistogram[] histograms;

    private final Workers.Task convert = this::convertLine;
    private final Workers.Task compress = (line, worker) -> compressLine(line);
    private RfFrame frame;
    private double fullScaleDecibels;

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
        int decimation = BasebandConverter.decimationFor(geometry, bandwidth);
        converters = new BasebandConverter[workers.count()];
        for (int i = 0; i < converters.length; i++) {
            // What noise gets in beside the band does not show; flat flanks take half the time.
            double flanks = geometry.samplingFrequency() / decimation - bandwidth;
            converters[i] = new BasebandConverter(geometry, bandwidth, decimation, flanks);
        }
        int samples = converters[0].length();
        grid = new RowGrid(samples, geometry.firstDepth(), converters[0].sampleSpacing());
        re = new float[converters.length][samples];
        im = new float[converters.length][samples];
        levels = new float[geometry.lines() * samples];
        power = new float[converters.length][samples];
        histograms = new LevelHistogram[converters.length];
        for (int i = 0; i < histograms.length; i++) {
            histograms[i] = new LevelHistogram(config.depthGain() * grid.spacing() * samples);
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
     * @return the picture's own array
     */
    public float[] levels() {
        return levels;
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
        fullScaleDecibels = fullScale();
        workers.run(geometry.lines(), compress);
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
        float[] a = re[worker];
        float[] b = im[worker];
        float[] p = power[worker];
        converters[worker].convert(frame, line, a, b, 0, null, 0);
        power(a, b, p, p.length);
        int from = line * p.length;
        float[] out = levels;
        float gain = (float) (config.depthGain() * grid.spacing());
        for (int i = 0; i < p.length; i++) {
            float level =
                    p[i] >= Float.MIN_NORMAL && p[i] <= Float.MAX_VALUE
                            ? Decibels.ofPower(p[i])
                            : decibels(a[i], b[i]);
            out[from + i] = level + gain * i;
        }
        if (Double.isNaN(config.fullScale())) {
            histograms[worker].add(out, from, from + p.length);
        }
    }

    private static void power(float[] re, float[] im, float[] out, int length) {
        for (int i = 0; i < length; i++) {
            out[i] = re[i] * re[i] + im[i] * im[i];
        }
    }

    /** Where the power is no normal float: silence, and samples in uncommon units. */
    private static float decibels(float re, float im) {
        double power = (double) re * re + (double) im * im;
        return power == 0 ? Float.NEGATIVE_INFINITY : (float) (10 * Math.log10(power));
    }

    private void compressLine(int line) {
        int rows = grid.rows();
        int from = line * rows;
        if (Double.isNaN(fullScaleDecibels)) {
            Arrays.fill(levels, from, from + rows, 0f);
            return;
        }
        float black = (float) (fullScaleDecibels - config.dynamicRange());
        compress(levels, from, from + rows, black, (float) (1 / config.dynamicRange()));
    }

    private static void compress(float[] levels, int from, int to, float black, float gain) {
        for (int i = from; i < to; i++) {
            levels[i] = Math.max(0f, Math.min(1f, (levels[i] - black) * gain));
        }
    }
}
