package org.elasto.conformance;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.junit.jupiter.api.Assertions;

/** The strain estimator under test, and how to use it. */
record StrainSubject(
        StrainEstimatorProvider<?> provider,
        String parameters,
        FieldLayout layout,
        StrainExpectations stated) {

    StrainEstimator make() {
        return make(layout, Workers.sequential());
    }

    StrainEstimator make(FieldLayout other, Workers workers) {
        return Catalogue.create(provider, parameters, other, workers);
    }

    StrainImage estimate(DisplacementField field, String condition) {
        return estimate(make(field.layout(), Workers.sequential()), field, condition);
    }

    /** The field is copied: whoever spoils it spoils no other check. */
    static StrainImage estimate(
            StrainEstimator estimator, DisplacementField field, String condition) {
        StrainImage image = estimator.newImage();
        try {
            estimator.estimate(Bits.copy(field), image);
        } catch (RuntimeException e) {
            throw new AssertionError("estimate threw " + e + " [" + condition + "]", e);
        }
        return image;
    }

    FieldLayout withErrors(org.elasto.api.ErrorCorrelation errors) {
        return new FieldLayout(layout.geometry(), layout.grid(), layout.lateral(), errors);
    }

    /** Indices of the image away from its edges; never none. */
    int[] inside(StrainLayout image) {
        ScanGeometry geometry = image.geometry();
        RowGrid grid = image.grid();
        RowGrid rows = layout.grid();
        double margin = Double.isNaN(stated.margin()) ? 2 * image.resolution() : stated.margin();
        double pitch = geometry.lineSpacing(0);
        int side = (int) Math.ceil(stated.lateralMargin() / pitch);
        int[] result = new int[image.planeSize()];
        int count = 0;
        for (int line = side; line < geometry.lines() - side; line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double z = grid.depth(row);
                if (z >= rows.firstDepth() + margin && z <= rows.lastDepth() - margin) {
                    result[count++] = line * grid.rows() + row;
                }
            }
        }
        if (count == 0) {
            Assertions.fail(
                    "margins of "
                            + margin
                            + " m in depth and "
                            + stated.lateralMargin()
                            + " m across leave no place of "
                            + describe(layout)
                            + "; override layout() with a larger field");
        }
        return java.util.Arrays.copyOf(result, count);
    }

    static String describe(FieldLayout layout) {
        return layout.geometry().lines()
                + " lines x "
                + layout.grid().rows()
                + " rows, "
                + Tally.number(layout.grid().spacing())
                + " m apart, errors "
                + layout.axialErrors().shape()
                + " over "
                + Tally.number(layout.axialErrors().length())
                + " m"
                + (layout.lateral() ? ", with lateral displacement" : "");
    }
}
