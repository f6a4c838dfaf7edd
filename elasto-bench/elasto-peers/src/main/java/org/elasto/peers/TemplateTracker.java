package org.elasto.peers;

import java.util.Arrays;
import org.elasto.api.ScanGeometry;

/**
 * Looks for rectangles of the first image in the second, along the lines; the score is the
 * library's, the peak between samples by a parabola.
 */
public abstract class TemplateTracker extends PeerTracker {

    private final TemplateConfig config;
    private final ScanGeometry geometry;
    private final int rows;
    private final float[] scores;

    /**
     * For one geometry.
     *
     * @param config the parameters
     * @param geometry geometry of the frames
     * @throws IllegalArgumentException if template and search do not fit into a line
     */
    protected TemplateTracker(TemplateConfig config, ScanGeometry geometry) {
        super(
                config.input(),
                geometry,
                config.searchSamples() + config.windowSamples() / 2,
                config.rowSamples(),
                rows(config, geometry),
                config.windowSamples());
        this.config = config;
        this.geometry = geometry;
        rows = rows(config, geometry);
        scores = new float[2 * config.searchSamples() + 1];
    }

    private static int rows(TemplateConfig config, ScanGeometry geometry) {
        int needed = config.windowSamples() + 2 * config.searchSamples();
        if (needed > geometry.samples() || config.windowLines() > geometry.lines()) {
            throw new IllegalArgumentException(
                    "template and search need "
                            + needed
                            + " samples and "
                            + config.windowLines()
                            + " lines; a frame has "
                            + geometry.samples()
                            + " and "
                            + geometry.lines());
        }
        return 1 + (geometry.samples() - needed) / config.rowSamples();
    }

    @Override
    protected final void track(float[] from, float[] to, float[] shifts) {
        begin(from, to);
        int half = config.windowLines() / 2;
        int search = config.searchSamples();
        for (int line = 0; line < geometry.lines(); line++) {
            // At either side the template's middle is a line beside.
            int top = Math.max(0, Math.min(geometry.lines() - 1 - 2 * half, line - half));
            for (int row = 0; row < rows; row++) {
                Arrays.fill(scores, Float.NEGATIVE_INFINITY);
                match(top, search + row * config.rowSamples(), scores);
                shifts[line * rows + row] = peak();
            }
        }
    }

    /**
     * Takes in two images.
     *
     * @param from image of the first frame
     * @param to image of the second frame
     */
    protected abstract void begin(float[] from, float[] to);

    /**
     * Looks for a template of the first image in the second.
     *
     * @param line its first line
     * @param sample its first sample
     * @param out receives the score of every motion, from the farthest towards the probe on; more
     *     is better
     */
    protected abstract void match(int line, int sample, float[] out);

    private float peak() {
        int best = 0;
        for (int i = 1; i < scores.length; i++) {
            best = scores[i] > scores[best] ? i : best;
        }
        if (best == 0 || best == scores.length - 1) {
            return Float.NaN;
        }
        double beside = parabola(scores[best - 1], scores[best], scores[best + 1]);
        return (float) (best - config.searchSamples() + beside);
    }
}
