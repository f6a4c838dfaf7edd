package org.elasto.api;

/**
 * How much each place was squeezed between two frames.
 *
 * <p>Axial strain is the derivative of axial displacement over depth: without unit, negative when
 * pressed. Strain is relative: it depends on how the probe was pressed and is not stiffness. Planes
 * of float, line after line, as in {@link DisplacementField}, and the image's own arrays. Where
 * nothing is known, strain and deviation are NaN and the place is untrusted.
 *
 * <p>Not thread-safe: one writer or several readers at a time.
 */
public final class StrainImage {

    private final StrainLayout layout;
    private final float[] axial;
    private final float[] axialDeviation;
    private final float[] lateral;
    private final float[] shear;
    private final boolean[] trusted;

    /**
     * An image in which nothing is known yet.
     *
     * @param layout its shape
     */
    public StrainImage(StrainLayout layout) {
        this.layout = layout;
        int size = layout.planeSize();
        axial = new float[size];
        axialDeviation = new float[size];
        trusted = new boolean[size];
        lateral = layout.lateral() ? new float[size] : null;
        shear = layout.lateral() ? new float[size] : null;
        clear();
    }

    /** Forgets everything: nothing trusted, everything NaN. */
    public void clear() {
        java.util.Arrays.fill(axial, Float.NaN);
        java.util.Arrays.fill(axialDeviation, Float.NaN);
        java.util.Arrays.fill(trusted, false);
        if (lateral != null) {
            java.util.Arrays.fill(lateral, Float.NaN);
            java.util.Arrays.fill(shear, Float.NaN);
        }
    }

    /**
     * Shape of the image.
     *
     * @return the layout
     */
    public StrainLayout layout() {
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
     * Axial strain, the derivative of axial displacement over depth; negative when pressed, NaN
     * where unknown.
     *
     * @return the plane
     */
    public float[] axial() {
        return axial;
    }

    /**
     * Predicted standard deviation of the axial strain; NaN where unknown.
     *
     * @return the plane
     */
    public float[] axialDeviation() {
        return axialDeviation;
    }

    /**
     * Lateral strain, the derivative of lateral displacement across the lines; NaN where unknown.
     *
     * @return the plane, or null if the image has none
     */
    public float[] lateral() {
        return lateral;
    }

    /**
     * Shear strain, half the sum of the two cross derivatives; NaN where unknown.
     *
     * @return the plane, or null if the image has none
     */
    public float[] shear() {
        return shear;
    }

    /**
     * Whether the axial strain at a place can be trusted.
     *
     * @return the mask
     */
    public boolean[] trusted() {
        return trusted;
    }
}
