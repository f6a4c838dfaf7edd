package org.elasto.peers;

import org.elasto.api.ScanGeometry;

/** A dense optical flow of two images, read out at every so many samples. */
public abstract class FlowTracker extends PeerTracker {

    private static final int SPACING = 8;

    private final int lines;
    private final int samples;
    private final int rows;

    /**
     * For one geometry.
     *
     * @param input what of the echoes is made an image
     * @param geometry geometry of the frames
     */
    protected FlowTracker(EchoInput input, ScanGeometry geometry) {
        super(input, geometry, 0, SPACING, rows(geometry), SPACING);
        lines = geometry.lines();
        samples = geometry.samples();
        rows = rows(geometry);
    }

    private static int rows(ScanGeometry geometry) {
        return (geometry.samples() + SPACING - 1) / SPACING;
    }

    @Override
    protected final void track(float[] from, float[] to, float[] shifts) {
        flow(from, to);
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                shifts[line * rows + row] = flowAt(line, Math.min(samples - 1, row * SPACING));
            }
        }
    }

    /**
     * Finds the flow.
     *
     * @param from image of the first frame
     * @param to image of the second frame
     */
    protected abstract void flow(float[] from, float[] to);

    /**
     * Motion along the lines in the flow found last.
     *
     * @param line line
     * @param sample sample
     * @return motion (samples), NaN where not known
     */
    protected abstract float flowAt(int line, int sample);
}
