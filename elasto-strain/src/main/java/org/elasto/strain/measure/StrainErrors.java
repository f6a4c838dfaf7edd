package org.elasto.strain.measure;

import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainLayout;

/**
 * How the errors of strain at neighbouring cells go together.
 *
 * <p>Along a line: strain is taken as the slope of a least-squares line (Kallel &amp; Ophir,
 * Ultrasonic Imaging 19:195&ndash;208, 1997) over the window that has the image's resolution,
 * through displacements whose errors go together as the field states. Such errors turn their sign
 * beyond half a window: what one cell has too much, another has too little, and the mean over many
 * rows is better known than their number says. Across the lines: as the field states.
 *
 * <p>Immutable and thread-safe.
 */
final class StrainErrors {

    /** Rise of the slope of a least-squares line from 10 % to 90 %, over its window: many rows. */
    private static final double RISE = 0.608;

    private static final double NEGLIGIBLE = 1e-4;
    private static final int MOST_LAGS = 4096;

    /** Correlation at a distance of so many rows; 1 at first, then 0 from the end on. */
    final double[] alongRows;

    /** The same for lines. */
    final double[] acrossLines;

    StrainErrors(FieldLayout field, StrainLayout strain) {
        RowGrid grid = strain.grid();
        double spacing = grid.spacing();
        int half = (int) Math.max(1, Math.round(strain.resolution() / RISE / 2 / spacing));
        half = Math.min(half, MOST_LAGS / 4);
        alongRows = alongRows(field, spacing, half, grid.rows());

        double middle = (field.geometry().firstDepth() + field.geometry().lastDepth()) / 2;
        double pitch = field.geometry().lineSpacing(middle);
        int lines = field.geometry().lines();
        int count = 1;
        while (count < lines && field.lateralErrors().at(count * pitch) > NEGLIGIBLE) {
            count++;
        }
        acrossLines = new double[count];
        for (int i = 0; i < count; i++) {
            acrossLines[i] = field.lateralErrors().at(i * pitch);
        }
    }

    private static double[] alongRows(FieldLayout field, double spacing, int half, int rows) {
        // The slope is the sum of j u[j] over j² summed; its weights' correlation with themselves.
        int width = 2 * half;
        double[] weights = new double[width + 1];
        for (int k = 0; k <= width; k++) {
            for (int j = -half; j + k <= half; j++) {
                weights[k] += (double) j * (j + k);
            }
        }
        int reach = width;
        while (reach < MOST_LAGS
                && reach < rows + width
                && field.axialErrors().at((reach - width + 1) * spacing) > NEGLIGIBLE) {
            reach++;
        }
        double[] displacement = new double[reach + width + 1];
        for (int k = 0; k < displacement.length; k++) {
            displacement[k] = field.axialErrors().at(k * spacing);
        }
        int count = Math.min(reach + 1, rows);
        double[] lags = new double[count];
        for (int d = 0; d < count; d++) {
            for (int k = -width; k <= width; k++) {
                lags[d] += weights[Math.abs(k)] * displacement[Math.abs(d - k)];
            }
        }
        double power = lags[0];
        for (int d = 0; d < count; d++) {
            lags[d] /= power;
        }
        return lags;
    }
}
