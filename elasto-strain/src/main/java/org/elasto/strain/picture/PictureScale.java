package org.elasto.strain.picture;

/**
 * Where a panel lies in a picture and which millimetre of tissue each pixel shows. Pixels are
 * square; positions in pixels count from the picture's top left corner, pixel {@code p} reaching
 * from {@code p} to {@code p + 1}. Immutable and thread-safe.
 *
 * @param pixelsPerMillimetre pixels that a millimetre takes in either direction, greater than 0
 * @param left first column of the panel
 * @param top first row of the panel
 * @param width columns of the panel
 * @param height rows of the panel
 * @param leftMillimetres lateral position of the panel's left edge (mm), 0 in the middle of the
 *     probe
 * @param topMillimetres distance of the panel's upper edge from the probe (mm)
 */
public record PictureScale(
        double pixelsPerMillimetre,
        int left,
        int top,
        int width,
        int height,
        double leftMillimetres,
        double topMillimetres) {

    /**
     * Lateral position at a column.
     *
     * @param column column, fractions allowed
     * @return lateral position (mm)
     */
    public double xMillimetres(double column) {
        return leftMillimetres + (column - left) / pixelsPerMillimetre;
    }

    /**
     * Distance from the probe at a row.
     *
     * @param row row, fractions allowed
     * @return distance (mm)
     */
    public double zMillimetres(double row) {
        return topMillimetres + (row - top) / pixelsPerMillimetre;
    }

    /**
     * The column at a lateral position; inverse of {@link #xMillimetres}.
     *
     * @param millimetres lateral position (mm)
     * @return column, with its fraction, possibly outside the panel
     */
    public double column(double millimetres) {
        return left + (millimetres - leftMillimetres) * pixelsPerMillimetre;
    }

    /**
     * The row at a distance from the probe; inverse of {@link #zMillimetres}.
     *
     * @param millimetres distance (mm)
     * @return row, with its fraction, possibly outside the panel
     */
    public double row(double millimetres) {
        return top + (millimetres - topMillimetres) * pixelsPerMillimetre;
    }

    /**
     * Whether a pixel belongs to the panel.
     *
     * @param column column of the pixel
     * @param row row of the pixel
     * @return true if it does
     */
    public boolean contains(int column, int row) {
        return column >= left && column < left + width && row >= top && row < top + height;
    }

    PictureScale movedTo(int newLeft, int newTop) {
        return new PictureScale(
                pixelsPerMillimetre,
                newLeft,
                newTop,
                width,
                height,
                leftMillimetres,
                topMillimetres);
    }
}
