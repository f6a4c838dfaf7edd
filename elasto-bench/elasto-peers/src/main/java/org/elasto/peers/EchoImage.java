package org.elasto.peers;

import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.signal.BasebandConverter;

/**
 * A frame as an image for a general-purpose library: a row for each line, a column for each sample,
 * values from 0 to 255. Owns its memory: one thread at a time.
 */
public final class EchoImage {

    private static final double BANDWIDTH = 0.8;
    private static final double RANGE_DECIBELS = 60;

    private final EchoInput input;
    private final ScanGeometry geometry;
    private final BasebandConverter converter;
    private final float[] re;
    private final float[] im;
    private final float[] pixels;

    /**
     * An empty image.
     *
     * @param input what is to be seen in it
     * @param geometry geometry of the frames
     */
    public EchoImage(EchoInput input, ScanGeometry geometry) {
        this.input = input;
        this.geometry = geometry;
        double bandwidth = BasebandConverter.bandFor(geometry, BANDWIDTH);
        converter = new BasebandConverter(geometry, bandwidth, 1);
        re = new float[geometry.samples()];
        im = new float[geometry.samples()];
        pixels = new float[geometry.lines() * geometry.samples()];
    }

    /**
     * Takes in a frame.
     *
     * @param frame the frame, of the image's geometry
     * @return the pixels, row after row, 0 to 255; the image's own array
     */
    public float[] take(RfFrame frame) {
        for (int line = 0; line < geometry.lines(); line++) {
            int from = line * geometry.samples();
            if (input == EchoInput.RF) {
                frame.readLine(line, pixels, from);
            } else {
                converter.convert(frame, line, re, im, 0, null, 0);
                for (int i = 0; i < re.length; i++) {
                    double power = re[i] * re[i] + im[i] * im[i];
                    pixels[from + i] = (float) (10 * Math.log10(power + 1e-3));
                }
            }
        }
        if (input == EchoInput.RF) {
            scaleRf();
        } else {
            scaleLevels();
        }
        return pixels;
    }

    private void scaleRf() {
        double squares = 0;
        for (float pixel : pixels) {
            squares += (double) pixel * pixel;
        }
        float gain = (float) (127.5 / (3 * Math.sqrt(squares / pixels.length) + 1e-9));
        for (int i = 0; i < pixels.length; i++) {
            pixels[i] = Math.min(255, Math.max(0, 127.5f + gain * pixels[i]));
        }
    }

    private void scaleLevels() {
        float peak = Float.NEGATIVE_INFINITY;
        for (float pixel : pixels) {
            peak = Math.max(peak, pixel);
        }
        float black = (float) (peak - RANGE_DECIBELS);
        float gain = (float) (255 / RANGE_DECIBELS);
        for (int i = 0; i < pixels.length; i++) {
            pixels[i] = Math.min(255, Math.max(0, gain * (pixels[i] - black)));
        }
    }
}
