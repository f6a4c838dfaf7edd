package org.elasto.strain.picture;

import java.util.Objects;

/**
 * What a strain picture shows. Immutable and thread-safe.
 *
 * @param name what stands above the panel, such as {@code Axial strain}
 * @param unit unit in the legend, such as {@code %}; empty for none
 * @param factor what a value is multiplied by to be in that unit, greater than 0
 */
public record ShownQuantity(String name, String unit, double factor) {

    /** Axial strain in per cent. */
    public static final ShownQuantity AXIAL_STRAIN =
            new ShownQuantity("Axial strain (size)", "%", 100);

    /** Axial strain in terms of the strain of the surroundings. */
    public static final ShownQuantity RELATIVE_STRAIN =
            new ShownQuantity("Strain relative to surroundings", "", 1);

    public ShownQuantity {
        Objects.requireNonNull(name, "name of the quantity is missing");
        Objects.requireNonNull(unit, "unit of the quantity is missing");
        org.elasto.api.Check.positive("factor", factor, "");
    }
}
