package org.elasto.phantoms;

import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.phantoms.motion.CylinderDisturbance;
import org.elasto.phantoms.motion.Motion;
import org.elasto.phantoms.motion.SphereDisturbance;

/**
 * A round inclusion of other stiffness and the same brightness, at rest.
 *
 * @param shape what body it is
 * @param x lateral place of its middle (m)
 * @param z depth of its middle (m)
 * @param radius radius of the body (m)
 * @param stiffness how many times stiffer than the surroundings; below 1 for softer
 * @param planeOffset distance of the image plane from the middle of a sphere (m); 0 for a cylinder
 */
public record Inclusion(
        Shape shape, double x, double z, double radius, double stiffness, double planeOffset) {

    /** What body an inclusion is. */
    public enum Shape {
        /** A long cylinder that stands upright on the image plane. */
        CYLINDER,
        /** A sphere. */
        SPHERE
    }

    public Inclusion {
        Objects.requireNonNull(shape, "shape of the inclusion is missing");
        if (shape == Shape.CYLINDER && planeOffset != 0) {
            throw new IllegalArgumentException(
                    "plane offset of a cylinder is " + planeOffset + " m; it must be 0");
        }
        if (shape == Shape.SPHERE) {
            new SphereDisturbance(x, z, radius, stiffness, planeOffset);
        } else {
            new CylinderDisturbance(x, z, radius, stiffness);
        }
        Check.positive("depth of the inclusion", z, "m");
    }

    /**
     * A long cylinder.
     *
     * @param x lateral place of its axis (m)
     * @param z depth of its axis (m)
     * @param radius radius (m)
     * @param stiffness stiffness ratio
     * @return the inclusion
     */
    public static Inclusion cylinder(double x, double z, double radius, double stiffness) {
        return new Inclusion(Shape.CYLINDER, x, z, radius, stiffness, 0);
    }

    /**
     * A sphere with the image plane through its middle.
     *
     * @param x lateral place of its middle (m)
     * @param z depth of its middle (m)
     * @param radius radius (m)
     * @param stiffness stiffness ratio
     * @return the inclusion
     */
    public static Inclusion sphere(double x, double z, double radius, double stiffness) {
        return new Inclusion(Shape.SPHERE, x, z, radius, stiffness, 0);
    }

    /**
     * What it adds to the motion of its surroundings under a press.
     *
     * @return the disturbance
     */
    public Motion disturbance() {
        return shape == Shape.SPHERE
                ? new SphereDisturbance(x, z, radius, stiffness, planeOffset)
                : new CylinderDisturbance(x, z, radius, stiffness);
    }

    /**
     * Radius of what the image plane cuts out of it.
     *
     * @return radius (m); 0 if the plane passes by
     */
    public double visibleRadius() {
        return Math.sqrt(Math.max(0, radius * radius - planeOffset * planeOffset));
    }

    /**
     * Axial strain inside over that far away, for the inclusion alone.
     *
     * @return {@code 2 / (1 + stiffness)} for a cylinder, {@code 5 / (3 + 2 stiffness)} for a
     *     sphere
     */
    public double insideShare() {
        return shape == Shape.SPHERE ? 5 / (3 + 2 * stiffness) : 2 / (1 + stiffness);
    }
}
