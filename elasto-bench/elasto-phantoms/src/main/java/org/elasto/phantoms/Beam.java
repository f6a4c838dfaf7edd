package org.elasto.phantoms;

import org.elasto.api.LineLayout;
import org.elasto.api.ScanGeometry;

/**
 * Two-way beam: Gaussian across, fixed transmit focus, receive focus that follows the depth. Also
 * what depth does to the strength of echoes. Immutable.
 *
 * <p>At the focus the two-way amplitude is at half its height (-6 dB) over {@code 0.886 lambda F},
 * the width of an evenly weighted aperture (handbooks of acoustics: sinc^2 at half height). The
 * transmit beam widens away from the focus like a Gaussian beam of that width; the receive beam
 * does not, so the product widens by at most sqrt(2).
 *
 * <p>The beam of a convex probe fans out with its lines: its width at a depth is that of a linear
 * array's times the distance from the centre of curvature, over that of the focus. Width is
 * measured along the arc.
 */
final class Beam {

    /** Half the width in deviations; what is cut off is 80 dB down. */
    private static final double REACH = 4.3;

    private final double focusDepth;
    private final double focusDeviation;
    private final double rayleighRange;
    private final double attenuation;
    private final double gainLimit;

    /** Radius of the probe's face, infinite for a linear array. */
    private final double radius;

    /**
     * Makes a beam.
     *
     * @param attenuation one-way, in dB per metre
     * @param gainLimit most that time-gain compensation gives, in dB
     */
    Beam(
            ScanGeometry geometry,
            double focusDepth,
            double fNumber,
            double attenuation,
            double gainLimit) {
        this.focusDepth = focusDepth;
        this.attenuation = attenuation;
        this.gainLimit = gainLimit;
        radius =
                geometry.layout() instanceof LineLayout.Convex convex
                        ? convex.radius()
                        : Double.POSITIVE_INFINITY;
        double wavelength = geometry.wavelength();
        focusDeviation = 0.886 * wavelength * fNumber / Pulse.HALF_HEIGHT_WIDTH;
        // Two equal Gaussians multiplied give the two-way one: each is sqrt(2) wider, and the 1/e
        // radius that rules the spreading of a Gaussian beam is sqrt(2) deviations of amplitude.
        double waist = 2 * focusDeviation;
        rayleighRange = Math.PI * waist * waist / wavelength;
    }

    /** Deviation of the two-way amplitude profile at a depth (m). */
    double deviation(double depth) {
        double r = (depth - focusDepth) / rayleighRange;
        double spread = 1 + r * r;
        return fan(depth) * focusDeviation * Math.sqrt(2 * spread / (1 + spread));
    }

    private double fan(double depth) {
        return Double.isInfinite(radius) ? 1 : (radius + depth) / (radius + focusDepth);
    }

    /** Height of a profile that leaves the mean echo power the same for any deviation. */
    static double height(double deviation) {
        return 1 / Math.sqrt(deviation * Math.sqrt(Math.PI));
    }

    /** Where the beam is narrowest (m). */
    double focusDepth() {
        return focusDepth;
    }

    /** Lateral width at half height at the focus (m): the lateral resolution where it is best. */
    double focusWidth() {
        return Pulse.HALF_HEIGHT_WIDTH * focusDeviation;
    }

    /** How far to the side echoes of a given beam deviation are heard (m). */
    static double reach(double deviation) {
        return REACH * deviation;
    }

    /** The widest reach at a depth, had the transmit beam lost all its focus there (m). */
    double widestReach(double depth) {
        return fan(depth) * REACH * Math.sqrt(2) * focusDeviation;
    }

    /** What is left of an echo's amplitude after the way to a depth and back. */
    double attenuated(double depth) {
        return Math.pow(10, -2 * attenuation * Math.max(0, depth) / 20);
    }

    /** Time-gain compensation at a depth. */
    double gain(double depth) {
        return Math.pow(10, Math.min(gainLimit, 2 * attenuation * Math.max(0, depth)) / 20);
    }
}
