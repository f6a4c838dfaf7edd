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

    /** Steps of a grey level in which {@link #greys} counts. */
    static final int GREY_STEPS = 128;

    /** Bits of a code that do not matter for brightness: 256 steps an octave are left. */
    private static final int GREY_SHIFT = Decibels.OCTAVE_BITS - 8;

    /** Octaves that echoes are lifted by at most; 48 000 dB. */
    private static final int MOST_OCTAVES = 16000;

    private final PictureConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final BasebandConverter[] converters;
    private final RowGrid grid;
    private final float[][] power;

    /** Brightening of each row: a factor below 2 and, as a code, whole octaves. */
    private final float[] factor;

    private final int[] lift;

    /** The echoes by their codes, line after line. */
    private final int[] codes;

    /** What each worker has counted. */
    private final LevelHistogram[] histograms;

    /** Brightness of each code without its lowest bits. */
    private final int[] greys;

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
        int decimation = BasebandConverter.decimationFor(geometry, bandwidth);
        converters = new BasebandConverter[workers.count()];
        for (int i = 0; i < converters.length; i++) {
            // What noise gets in beside the band does not show; flat flanks take a third of the
            // taps.
            double flanks = BasebandConverter.flatFlanks(geometry, bandwidth, decimation);
            converters[i] = new BasebandConverter(geometry, bandwidth, decimation, flanks);
        }
        int samples = converters[0].length();
        grid = new RowGrid(samples, geometry.firstDepth(), converters[0].sampleSpacing());
        power = new float[converters.length][samples];
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
        greys = new int[octaves << Decibels.OCTAVE_BITS - GREY_SHIFT];
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
     * Some rows of a line as brightness from 0 to 255, to 0.1, in steps of {@link #GREY_STEPS} and
     * half a grey more, so that it is rounded when it is cut off.
     *
     * @param to receives them, {@code stride} elements from one row to the next
     * @param first where the first one goes
     */
    void greys(int line, int row, int rows, int[] to, int first, int stride) {
        int[] all = greys;
        int from = line * grid.rows() + row;
        for (int i = 0; i < rows; i++) {
            to[first + i * stride] = all[codes[from + i] >>> GREY_SHIFT];
        }
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
        shade();
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
        float[] p = power[worker];
        converters[worker].convertPower(frame, line, p, 0);
        multiply(p, factor, p.length);
        int from = line * p.length;
        for (int i = 0; i < p.length; i++) {
            codes[from + i] = Decibels.code(p[i], lift[i]);
        }
        if (Double.isNaN(config.fullScale())) {
            histograms[worker].add(codes, from, from + p.length);
        }
    }

    private static void multiply(float[] values, float[] by, int length) {
        for (int i = 0; i < length; i++) {
            values[i] *= by[i];
        }
    }

    /** What is brighter than black and darker than white gets its brightness code by code. */
    private void shade() {
        int[] all = greys;
        int dark = GREY_STEPS / 2;
        if (Float.isNaN(black)) {
            Arrays.fill(all, dark);
            return;
        }
        int bright = 255 * GREY_STEPS + dark;
        double octave = 10 * Math.log10(2);
        int perOctave = 1 << Decibels.OCTAVE_BITS - GREY_SHIFT;
        // The octaves, of codes, in which black and white lie.
        int first = octaveOf(black / octave, all.length / perOctave);
        int end = octaveOf((black + config.dynamicRange()) / octave, all.length / perOctave) + 1;
        Arrays.fill(all, 0, first * perOctave, dark);
        float gain = (float) (255 * GREY_STEPS / config.dynamicRange());
        for (int i = first * perOctave; i < end * perOctave; i++) {
            int code = (i << GREY_SHIFT) + (1 << GREY_SHIFT - 1);
            float level = (Decibels.ofCode(code) - black) * gain;
            all[i] = (int) (Math.max(0f, Math.min(255 * GREY_STEPS, level)) + dark + 0.5f);
        }
        Arrays.fill(all, end * perOctave, all.length, bright);
        all[Decibels.SILENCE] = dark;
    }

    private static int octaveOf(double octavesAboveOne, int octaves) {
        double octave = Math.floor(octavesAboveOne) + Decibels.OCTAVE_OF_ONE;
        return (int) Math.max(0, Math.min(octaves - 1, octave));
    }
}
