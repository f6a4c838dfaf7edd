package org.elasto.tracking.shared;

/**
 * Where a peak lies between samples. Offsets are in samples from the middle one, positive towards
 * the later. Stateless and thread-safe.
 *
 * <p>A parabola through three points is biased, periodically in the offset; a cosine is exact for a
 * pure tone (C&eacute;spedes, Huang, Ophir and Spratt, Ultrasonic Imaging 17:142-171, 1995).
 */
public final class SubsamplePeak {

    private SubsamplePeak() {}

    /**
     * Peak of the parabola through three points.
     *
     * @param before value one sample before
     * @param middle value at the greatest sample
     * @param after value one sample after
     * @return offset, -0.5 to 0.5 where the middle is the greatest; 0 where the points are straight
     */
    public static double parabola(double before, double middle, double after) {
        double curvature = before - 2 * middle + after;
        return curvature < 0 ? clamp(0.5 * (before - after) / curvature) : 0;
    }

    /**
     * Peak of the cosine through three points.
     *
     * @param before value one sample before
     * @param middle value at the greatest sample, greater than 0
     * @param after value one sample after
     * @return offset, -1 to 1; by the parabola where no cosine goes through the points
     */
    public static double cosine(double before, double middle, double after) {
        double c = (before + after) / (2 * middle);
        if (!(middle > 0) || !(c > -1 && c < 1)) {
            return parabola(before, middle, after);
        }
        double w = Math.acos(c);
        return clamp(Math.atan2(after - before, 2 * middle * Math.sin(w)) / w);
    }

    /**
     * The displacement that a phase stands for: of all that differ by whole half wavelengths, the
     * one nearest to where the peak of the magnitude lies.
     *
     * @param byPeak displacement by the peak of the magnitude (m)
     * @param phase phase of the complex correlation (rad)
     * @param halfWavelength half the wavelength at the centre frequency (m)
     * @return displacement (m)
     */
    public static double byPhase(double byPeak, double phase, double halfWavelength) {
        double least = -phase / (2 * Math.PI) * halfWavelength;
        return least + Math.rint((byPeak - least) / halfWavelength) * halfWavelength;
    }

    /**
     * Peak of the Gaussian through three points: the parabola through their logarithms. Not held
     * within the points: for a bell-shaped curve it tells how far off the peak lies.
     *
     * @param before value one sample before
     * @param middle value in the middle
     * @param after value one sample after
     * @return offset; NaN where no Gaussian with a peak goes through the points
     */
    public static double gaussian(double before, double middle, double after) {
        double a = Math.log(before);
        double b = Math.log(middle);
        double c = Math.log(after);
        double curvature = a - 2 * b + c;
        return curvature < 0 && curvature > Double.NEGATIVE_INFINITY
                ? 0.5 * (a - c) / curvature
                : Double.NaN;
    }

    private static double clamp(double offset) {
        return Math.max(-1, Math.min(1, offset));
    }
}
