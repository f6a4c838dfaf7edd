package org.elasto.tracking.shared;

import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;

/**
 * A whole frame as complex baseband, line after line, with a margin of zeros before and behind each
 * line so that lags and warps may reach past its ends. Memory of its own, filled again and again.
 */
public class BasebandFrame {

    /** Zeros before the first and behind the last sample of a line. */
    public static final int MARGIN = 16;

    /** Lines that are kept. */
    public final int lines;

    /** Lines of the scan from one that is kept to the next. */
    public final int lineStep;

    /** First line of the scan that is kept: what is left over lies on both sides. */
    public final int firstLine;

    /** Baseband samples a line. */
    public final int length;

    /**
     * Distance from the start of a line to the start of the next in {@link #re} and {@link #im}.
     */
    public final int stride;

    /** Depth from one baseband sample to the next (m). */
    public final double spacing;

    /** Width of the band over the baseband's sampling frequency, below 1. */
    public final double bandShare;

    /** Real part; sample n of line l at {@code l * stride + MARGIN + n}. */
    public final float[] re;

    /** Imaginary part, as {@link #re}. */
    public final float[] im;

    /** Share of flawed RF samples, line after line without margin. */
    public final float[] flaws;

    private final boolean[] lineFlawed;
    private final BasebandConverter[] converters;
    private final Workers workers;
    private final Workers.Task convert = this::convertLine;
    private RfFrame frame;

    /**
     * Memory for a frame.
     *
     * @param geometry geometry of the RF frames
     * @param bandwidth band that is kept (Hz)
     * @param decimation RF samples for each baseband sample
     * @param workers threads for the conversion
     */
    public BasebandFrame(ScanGeometry geometry, double bandwidth, int decimation, Workers workers) {
        this(geometry, bandwidth, decimation, 1, workers, BasebandConverter::new);
    }

    /** Makes a converter. */
    @FunctionalInterface
    protected interface ConverterMaker {
        /**
         * A converter for one worker.
         *
         * @param geometry geometry of the RF frames
         * @param bandwidth band that is kept (Hz)
         * @param decimation RF samples for each baseband sample
         * @return a new converter
         */
        BasebandConverter make(ScanGeometry geometry, double bandwidth, int decimation);
    }

    /**
     * Memory for a frame.
     *
     * @param geometry geometry of the RF frames
     * @param bandwidth band that is kept (Hz)
     * @param decimation RF samples for each baseband sample
     * @param lineStep lines of the scan from one that is kept to the next
     * @param workers threads for the conversion
     * @param maker makes a converter for each worker
     */
    protected BasebandFrame(
            ScanGeometry geometry,
            double bandwidth,
            int decimation,
            int lineStep,
            Workers workers,
            ConverterMaker maker) {
        this.workers = workers;
        this.lineStep = lineStep;
        converters = new BasebandConverter[workers.count()];
        for (int i = 0; i < converters.length; i++) {
            converters[i] = maker.make(geometry, bandwidth, decimation);
        }
        lines = (geometry.lines() + lineStep - 1) / lineStep;
        firstLine = (geometry.lines() - 1) % lineStep / 2;
        length = converters[0].length();
        spacing = converters[0].sampleSpacing();
        stride = length + 2 * MARGIN;
        bandShare = bandwidth * decimation / geometry.samplingFrequency();
        long size = (long) lines * stride;
        if (size > Integer.MAX_VALUE - 8) {
            throw new IllegalArgumentException(
                    "a baseband frame of "
                            + lines
                            + " lines x "
                            + stride
                            + " samples is too large; at most 2147483639 samples");
        }
        re = new float[(int) size];
        im = new float[(int) size];
        flaws = new float[lines * length];
        lineFlawed = new boolean[lines];
    }

    /**
     * Memory for another frame of the same kind. Only one of the two is filled at a time.
     *
     * @param like a frame of that kind
     */
    public BasebandFrame(BasebandFrame like) {
        workers = like.workers;
        converters = like.converters;
        lines = like.lines;
        lineStep = like.lineStep;
        firstLine = like.firstLine;
        length = like.length;
        spacing = like.spacing;
        stride = like.stride;
        bandShare = like.bandShare;
        re = new float[like.re.length];
        im = new float[like.im.length];
        flaws = new float[like.flaws.length];
        lineFlawed = new boolean[lines];
    }

    /**
     * Converts an RF frame.
     *
     * @param rf the frame
     */
    public void load(RfFrame rf) {
        frame = rf;
        workers.run(lines, convert);
        frame = null;
    }

    private void convertLine(int line, int worker) {
        int at = line * stride + MARGIN;
        int from = firstLine + line * lineStep;
        lineFlawed[line] =
                converters[worker].convert(frame, from, re, im, at, flaws, line * length);
        prepareLine(line, worker);
    }

    /**
     * Called when a line has been converted, for what a kind of frame keeps besides.
     *
     * @param line the line
     * @param worker number of the worker
     */
    protected void prepareLine(int line, int worker) {}

    /**
     * Memory for another frame of the same kind.
     *
     * @return a new frame; only one of the two is filled at a time
     */
    public BasebandFrame another() {
        return new BasebandFrame(this);
    }

    /**
     * Whether any sample of the frame is flawed.
     *
     * @return true if one is
     */
    public boolean isFlawed() {
        for (boolean flawed : lineFlawed) {
            if (flawed) {
                return true;
            }
        }
        return false;
    }
}
