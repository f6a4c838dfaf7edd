package org.elasto.api;

/**
 * How the lines of a scan lie side by side: parallel for a linear array, fanned out for a convex
 * one. Immutable and thread-safe.
 */
public sealed interface LineLayout {

    /**
     * Parallel lines of a linear array.
     *
     * @param pitch distance between neighbouring lines (m), greater than 0
     */
    record Linear(double pitch) implements LineLayout {
        public Linear {
            Check.positive("line pitch", pitch, "m");
        }
    }

    /**
     * Fanned-out lines of a convex array.
     *
     * @param radius radius of curvature of the probe's face (m), greater than 0
     * @param angularPitch angle between neighbouring lines (rad), greater than 0
     */
    record Convex(double radius, double angularPitch) implements LineLayout {
        public Convex {
            Check.positive("probe radius", radius, "m");
            Check.positive("angular pitch", angularPitch, "rad");
        }
    }
}
