package org.elasto.peers;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.DisplacementEstimator;

/**
 * What all trackers made from general-purpose libraries do alike: make images of two frames, and a
 * displacement field of what the library found. They give axial displacement without a predicted
 * deviation, which such libraries do not know, and may allocate.
 */
public abstract class PeerTracker implements DisplacementEstimator {

    private final FieldLayout layout;
    private final EchoImage first;
    private final EchoImage second;
    private final float[] shifts;

    /**
     * For one geometry.
     *
     * @param input what of the echoes is made an image
     * @param geometry geometry of the frames
     * @param firstSample the sample that the first row of the field lies at
     * @param spacing samples from row to row, 1 or more
     * @param rows number of rows
     * @param window length of the windows in samples, as far as known
     */
    protected PeerTracker(
            EchoInput input,
            ScanGeometry geometry,
            int firstSample,
            int spacing,
            int rows,
            int window) {
        double sample = geometry.sampleSpacing();
        RowGrid grid = new RowGrid(rows, geometry.depthOfSample(firstSample), spacing * sample);
        layout =
                new FieldLayout(
                        geometry,
                        grid,
                        false,
                        new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, window * sample));
        first = new EchoImage(input, geometry);
        second = new EchoImage(input, geometry);
        shifts = new float[layout.planeSize()];
    }

    @Override
    public final FieldLayout layout() {
        return layout;
    }

    @Override
    public final void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
        Check.same("geometry of the first frame", reference.geometry(), layout.geometry());
        Check.same("geometry of the second frame", moved.geometry(), layout.geometry());
        Check.same("layout of the field", out.layout(), layout);
        Arrays.fill(shifts, Float.NaN);
        track(first.take(reference), second.take(moved), shifts);
        out.clear();
        float sample = (float) layout.geometry().sampleSpacing();
        for (int i = 0; i < shifts.length; i++) {
            if (!Float.isNaN(shifts[i])) {
                out.axial()[i] = shifts[i] * sample;
                out.correlation()[i] = 1;
            }
        }
    }

    /**
     * Finds how far the places of the field have moved.
     *
     * @param from image of the first frame, a row for each line
     * @param to image of the second frame
     * @param samples receives the motion along the lines (samples) in the order of the field's
     *     planes; NaN, as it comes, where it is not known
     */
    protected abstract void track(float[] from, float[] to, float[] samples);

    /**
     * The place of a peak beside a sample, by a parabola through it and its neighbours.
     *
     * @param before value at the sample before
     * @param peak value at the sample, not below either neighbour
     * @param after value at the sample after
     * @return offset from the sample, -0.5 to 0.5
     */
    protected static double parabola(double before, double peak, double after) {
        double curvature = before - 2 * peak + after;
        return curvature < 0 ? 0.5 * (before - after) / curvature : 0;
    }
}
