package org.elasto.strain.quality;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.strain.measure.EllipseRegion;
import org.elasto.strain.measure.Region;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.measure.RegionStatistics;

/** The metrics of regions: each scores a value v by {@code v / (v + h)}. */
final class RegionMetric extends PairMetric {

    /** What is measured. */
    enum Quantity {
        /** Signal-to-noise ratio of the first region. */
        SIGNAL_TO_NOISE,
        /** Contrast to noise of the two. */
        CONTRAST_TO_NOISE,
        /** Strain of the first over that of the second. */
        STRAIN_RATIO
    }

    private final Quantity quantity;
    private final double half;
    private final RegionStatistics first;

    /** Null where the quantity is that of one region. */
    private final RegionStatistics second;

    RegionMetric(
            Quantity quantity,
            String first,
            String second,
            double half,
            FieldLayout field,
            StrainLayout strain) {
        super(field, strain);
        this.quantity = quantity;
        this.half = half;
        this.first = new RegionStatistics(region(first, strain, -1), strain, field);
        this.second =
                quantity == Quantity.SIGNAL_TO_NOISE
                        ? null
                        : new RegionStatistics(region(second, strain, 1), strain, field);
    }

    /** The region of a text, or an ellipse in the middle of one half of the image. */
    private static Region region(String text, StrainLayout strain, int side) {
        if (!text.isBlank()) {
            return Region.parse(text);
        }
        ScanGeometry geometry = strain.geometry();
        RowGrid grid = strain.grid();
        double middle = (grid.firstDepth() + grid.lastDepth()) / 2;
        double line = (geometry.lines() - 1) / 2.0 + side * geometry.lines() / 4.0;
        return new EllipseRegion(
                geometry.x(line, middle),
                geometry.z(line, middle),
                geometry.lines() * geometry.lineSpacing(middle) / 6,
                grid.rows() * grid.spacing() / 6,
                0);
    }

    @Override
    double judge(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map) {
        first.update(strain);
        if (second != null) {
            second.update(strain);
        }
        double value =
                switch (quantity) {
                    case SIGNAL_TO_NOISE -> first.signalToNoise();
                    case CONTRAST_TO_NOISE -> RegionComparison.contrastToNoise(first, second);
                    case STRAIN_RATIO -> Math.abs(first.mean() / second.mean());
                };
        return Double.isInfinite(value) ? 1 : value / (value + half);
    }
}
