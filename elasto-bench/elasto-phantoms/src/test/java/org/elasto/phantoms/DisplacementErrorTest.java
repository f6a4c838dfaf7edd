package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

class DisplacementErrorTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(16, 800, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final RowGrid GRID = new RowGrid(100, 0, 0.15e-3);

    private static Truth truth() {
        return Phantom.builder().geometry(GEOMETRY).press(0, 0.003).build().truth(0, 1, GRID);
    }

    private static DisplacementField field(Truth truth, float off) {
        DisplacementField field =
                new DisplacementField(
                        new FieldLayout(GEOMETRY, GRID, false, ErrorCorrelation.INDEPENDENT));
        for (int i = 0; i < field.axial().length; i++) {
            field.axial()[i] = truth.axial()[i] + (i % 2 == 0 ? off : -off);
        }
        Arrays.fill(field.correlation(), 1);
        return field;
    }

    @Test
    void countsEveryErrorOfWhatIsClaimed() {
        Truth truth = truth();
        DisplacementError error = DisplacementError.of(field(truth, 5e-6f), truth);
        assertEquals(5e-6, error.rootMeanSquare(), 1e-10);
        assertEquals(1, error.knownShare());
        // Every other line unknown: half as much is known, the error stays.
        DisplacementField half = field(truth, 5e-6f);
        for (int line = 0; line < 16; line += 2) {
            Arrays.fill(half.correlation(), line * 100, line * 100 + 100, 0);
            Arrays.fill(half.axial(), line * 100, line * 100 + 100, Float.NaN);
        }
        error = DisplacementError.of(half, truth);
        assertEquals(5e-6, error.rootMeanSquare(), 1e-10);
        assertEquals(0.5, error.knownShare());
    }

    @Test
    void nothingKnownIsNoError() {
        Truth truth = truth();
        DisplacementField none = field(truth, 0);
        none.clear();
        DisplacementError error = DisplacementError.of(none, truth);
        assertTrue(Double.isNaN(error.rootMeanSquare()));
        assertEquals(0, error.knownShare());
    }

    @Test
    void refusesAnotherGrid() {
        Truth other =
                Phantom.builder()
                        .geometry(GEOMETRY)
                        .press(0, 0.003)
                        .build()
                        .truth(0, 1, new RowGrid(90, 0, 0.15e-3));
        assertThrows(
                IllegalArgumentException.class,
                () -> DisplacementError.of(field(truth(), 0), other));
    }
}
