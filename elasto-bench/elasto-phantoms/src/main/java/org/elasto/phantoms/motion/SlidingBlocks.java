package org.elasto.phantoms.motion;

import java.util.Objects;
import org.elasto.api.Check;

/**
 * Two blocks that slide past each other along a straight plane. The load is the jump (m): the block
 * at the probe, or on the side of the low line numbers, stays, and the other moves along the plane
 * as a whole.
 *
 * @param plane how the slip plane lies
 * @param position its depth, or its lateral place, at rest (m)
 */
public record SlidingBlocks(Plane plane, double position) implements Motion {

    /** How a slip plane lies. */
    public enum Plane {
        /** Level with the probe's face: the deeper block moves sideways. */
        HORIZONTAL,
        /** Along the lines: the block at the higher line numbers moves in depth. */
        VERTICAL
    }

    public SlidingBlocks {
        Objects.requireNonNull(plane, "slip plane is missing");
        Check.range("position of the slip plane", position, -1, 1, "m");
    }

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        if (plane == Plane.HORIZONTAL) {
            u[0] += z > position ? load : 0;
        } else {
            u[1] += x > position ? load : 0;
        }
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        // Each block moves as a whole.
    }
}
