package org.elasto.api;

/**
 * Tissue motion from one frame to another, at the places tissue has in the first of the two.
 *
 * <p>Planes of float, line after line: the value of row {@code r} on line {@code l} stands at
 * {@code l * rows + r}. The planes are the field's own arrays, handed out without copying: whoever
 * holds the field may read them, and an estimator writes them. Where nothing is known the
 * correlation is 0, and displacements and deviations are NaN. The lateral displacement and its
 * deviation may be NaN alone, both of them.
 *
 * <p>Not thread-safe: one writer or several readers at a time.
 */
public final class DisplacementField {

    private final FieldLayout layout;
    private final float[] axial;
    private final float[] lateral;
    private final float[] correlation;
    private final float[] axialDeviation;
    private final float[] lateralDeviation;

    /**
     * A field in which nothing is known yet.
     *
     * @param layout its shape
     */
    public DisplacementField(FieldLayout layout) {
        this.layout = layout;
        int size = layout.planeSize();
        axial = new float[size];
        correlation = new float[size];
        axialDeviation = new float[size];
        lateral = layout.lateral() ? new float[size] : null;
        lateralDeviation = layout.lateral() ? new float[size] : null;
        clear();
    }

    /** Forgets everything: correlation 0, everything else NaN. */
    public void clear() {
        java.util.Arrays.fill(axial, Float.NaN);
        java.util.Arrays.fill(axialDeviation, Float.NaN);
        java.util.Arrays.fill(correlation, 0f);
        if (lateral != null) {
            java.util.Arrays.fill(lateral, Float.NaN);
            java.util.Arrays.fill(lateralDeviation, Float.NaN);
        }
    }

    /**
     * Forgets one place: correlation 0, everything else NaN.
     *
     * @param at index of the place
     */
    public void markUnknown(int at) {
        axial[at] = Float.NaN;
        axialDeviation[at] = Float.NaN;
        correlation[at] = 0f;
        if (lateral != null) {
            lateral[at] = Float.NaN;
            lateralDeviation[at] = Float.NaN;
        }
    }

    /**
     * Shape of the field.
     *
     * @return the layout
     */
    public FieldLayout layout() {
        return layout;
    }

    /**
     * Number of lines.
     *
     * @return lines of the scan
     */
    public int lines() {
        return layout.geometry().lines();
    }

    /**
     * Number of rows.
     *
     * @return rows of the grid
     */
    public int rows() {
        return layout.grid().rows();
    }

    /**
     * Axial displacement (m), positive away from the probe; NaN where unknown.
     *
     * @return the plane
     */
    public float[] axial() {
        return axial;
    }

    /**
     * Lateral displacement (m), positive towards higher line numbers; NaN where unknown.
     *
     * @return the plane, or null if the field has none
     */
    public float[] lateral() {
        return lateral;
    }

    /**
     * How well the echoes match after the motion is undone: magnitude of the normalised correlation
     * of the two windows, from 0 (not at all, or unknown) to 1.
     *
     * @return the plane
     */
    public float[] correlation() {
        return correlation;
    }

    /**
     * Predicted standard deviation of the axial displacement (m); NaN where unknown.
     *
     * @return the plane
     */
    public float[] axialDeviation() {
        return axialDeviation;
    }

    /**
     * Predicted standard deviation of the lateral displacement (m); NaN where unknown.
     *
     * @return the plane, or null if the field has none
     */
    public float[] lateralDeviation() {
        return lateralDeviation;
    }
}
