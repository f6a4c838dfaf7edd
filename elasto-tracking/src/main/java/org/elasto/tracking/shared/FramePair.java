package org.elasto.tracking.shared;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;

/**
 * The two frames that every estimator begins with: their shapes checked, and turned into complex
 * baseband. Memory of its own, filled again and again; a call allocates nothing.
 */
public final class FramePair {

    /** First frame. */
    public final BasebandFrame reference;

    /** Second frame. */
    public final BasebandFrame moved;

    /** Band that is kept (Hz). */
    public final double band;

    /** RF samples for each baseband sample. */
    public final int decimation;

    /** Distance between lines half-way down the scan (m). */
    public final double pitch;

    private final ScanGeometry geometry;

    /** Makes a frame. */
    @FunctionalInterface
    public interface FrameMaker {
        /**
         * Memory for a frame.
         *
         * @param geometry geometry of the RF frames
         * @param bandwidth band that is kept (Hz)
         * @param decimation RF samples for each baseband sample
         * @param workers threads for the conversion
         * @return a new frame
         */
        BasebandFrame make(
                ScanGeometry geometry, double bandwidth, int decimation, Workers workers);
    }

    /**
     * A pair as thinned out as its band allows.
     *
     * @param geometry geometry of the RF frames
     * @param bandwidth band that is kept, as a share of the centre frequency
     * @param workers threads for the conversion
     */
    public FramePair(ScanGeometry geometry, double bandwidth, Workers workers) {
        this(geometry, bandwidth, 1, workers);
    }

    /**
     * A pair with more samples than its band needs.
     *
     * @param geometry geometry of the RF frames
     * @param bandwidth band that is kept, as a share of the centre frequency
     * @param density how many times as dense as the band needs, at least 1
     * @param workers threads for the conversion
     */
    public FramePair(ScanGeometry geometry, double bandwidth, int density, Workers workers) {
        this(geometry, bandwidth, density, workers, BasebandFrame::new);
    }

    /**
     * A pair of frames of a kind.
     *
     * @param geometry geometry of the RF frames
     * @param bandwidth band that is kept, as a share of the centre frequency
     * @param density how many times as dense as the band needs, at least 1
     * @param workers threads for the conversion
     * @param maker makes a frame of that kind
     */
    public FramePair(
            ScanGeometry geometry,
            double bandwidth,
            int density,
            Workers workers,
            FrameMaker maker) {
        this.geometry = geometry;
        band =
                Math.min(
                        bandwidth * geometry.centreFrequency(),
                        BasebandConverter.widestBand(geometry));
        decimation = Math.max(1, BasebandConverter.decimationFor(geometry, band) / density);
        reference = maker.make(geometry, band, decimation, workers);
        moved = reference.another();
        pitch = pitch(geometry);
    }

    /**
     * Distance between lines half-way down a scan.
     *
     * @param geometry the scan's geometry
     * @return distance (m)
     */
    public static double pitch(ScanGeometry geometry) {
        return geometry.lineSpacing((geometry.firstDepth() + geometry.lastDepth()) / 2);
    }

    /**
     * Baseband samples from row to row of a field.
     *
     * @param rowSpacing wanted depth between rows (m)
     * @return whole samples, at least 1
     */
    public int rowStep(double rowSpacing) {
        return Math.max(1, (int) Math.round(rowSpacing / reference.spacing));
    }

    /**
     * Checks the shapes and converts both frames.
     *
     * @param first first frame
     * @param second second frame
     * @param out field that will be filled
     * @param layout layout that it must have
     * @throws IllegalArgumentException if a frame's geometry or the field's layout is another, with
     *     both
     */
    public void load(RfFrame first, RfFrame second, DisplacementField out, FieldLayout layout) {
        check("geometry of the first frame", first);
        check("geometry of the second frame", second);
        Check.same("layout of the field", out.layout(), layout);
        reference.load(first);
        moved.load(second);
    }

    /**
     * Checks the shape of a frame.
     *
     * @param what what is checked, for the message
     * @param frame the frame
     * @throws IllegalArgumentException if its geometry is another, with both
     */
    void check(String what, RfFrame frame) {
        Check.same(what, frame.geometry(), geometry);
    }
}
