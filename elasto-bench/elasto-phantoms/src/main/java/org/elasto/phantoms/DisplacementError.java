package org.elasto.phantoms;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * How far a displacement field is from the truth, in two numbers. Nothing is left out as an
 * outlier: whoever claims to know is taken at their word. Not counted are 2 mm at either end of the
 * lines and what cannot be seen. Immutable and thread-safe.
 *
 * @param rootMeanSquare root mean square error of the axial displacement where it is known (m); NaN
 *     if it is known nowhere
 * @param knownShare share of what can be seen that is known, 0 to 1; NaN if nothing can be seen
 */
public record DisplacementError(double rootMeanSquare, double knownShare) {

    private static final double ENDS = 2e-3;

    /**
     * Compares a field with the truth.
     *
     * @param field the field; known where its correlation is greater than 0
     * @param truth the truth on the field's grid
     * @return the error
     * @throws IllegalArgumentException if geometry or grid differ, with both
     */
    public static DisplacementError of(DisplacementField field, Truth truth) {
        Check.same("geometry of the field", field.layout().geometry(), truth.geometry());
        Check.same("grid of the field", field.layout().grid(), truth.grid());
        ScanGeometry geometry = truth.geometry();
        RowGrid grid = truth.grid();
        double squares = 0;
        long known = 0;
        long visible = 0;
        for (int row = 0; row < grid.rows(); row++) {
            double depth = grid.depth(row);
            if (depth < geometry.firstDepth() + ENDS || depth > geometry.lastDepth() - ENDS) {
                continue;
            }
            for (int line = 0; line < geometry.lines(); line++) {
                int at = line * grid.rows() + row;
                if (!truth.visible()[at]) {
                    continue;
                }
                visible++;
                if (field.correlation()[at] > 0) {
                    known++;
                    double error = field.axial()[at] - truth.axial()[at];
                    squares += error * error;
                }
            }
        }
        return new DisplacementError(Math.sqrt(squares / known), (double) known / visible);
    }
}
