package org.elasto.phantoms;

import org.elasto.api.Check;

/**
 * A bone: a bright rough surface with no echo beyond. It lies in the tissue and moves with it.
 *
 * @param depth depth of the nearest point of its surface at rest (m), in the middle between its
 *     ends
 * @param fromX where it begins (m)
 * @param toX where it ends (m)
 * @param curvatureRadius radius of a surface that falls off to both sides (m), or infinite for a
 *     flat one
 * @param roughness standard deviation of the surface about its smooth shape (m), 0 to 1 mm
 * @param brightness amplitude of its echo over that of the tissue (dB), 0 to 60
 */
public record Bone(
        double depth,
        double fromX,
        double toX,
        double curvatureRadius,
        double roughness,
        double brightness) {

    public Bone {
        Check.positive("depth of the bone", depth, "m");
        Check.range("begin of the bone", fromX, -1, 1, "m");
        Check.range("end of the bone", toX, -1, 1, "m");
        if (fromX >= toX) {
            throw new IllegalArgumentException(
                    "bone reaches from x = "
                            + fromX
                            + " m to "
                            + toX
                            + " m; it must end beyond its begin");
        }
        if (!(curvatureRadius > 0)) {
            throw new IllegalArgumentException(
                    "curvature radius of the bone is "
                            + curvatureRadius
                            + " m; it must be greater than 0, infinite for a flat bone");
        }
        Check.range("roughness of the bone", roughness, 0, 1e-3, "m");
        Check.range("brightness of the bone", brightness, 0, 60, "dB");
    }

    /**
     * A flat, rough bone under the whole probe, 20 dB brighter than tissue.
     *
     * @param depth its depth at rest (m)
     * @return the bone
     */
    public static Bone flat(double depth) {
        return new Bone(depth, -1, 1, Double.POSITIVE_INFINITY, 30e-6, 20);
    }

    /**
     * Depth of the smooth surface at rest.
     *
     * @param x lateral place at rest (m)
     * @return depth (m); infinite beside the bone
     */
    public double surface(double x) {
        if (x < fromX || x > toX) {
            return Double.POSITIVE_INFINITY;
        }
        double d = x - (fromX + toX) / 2;
        return depth + d * d / (2 * curvatureRadius);
    }
}
