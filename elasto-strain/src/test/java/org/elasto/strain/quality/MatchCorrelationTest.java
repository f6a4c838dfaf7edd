package org.elasto.strain.quality;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.QualityMetric;
import org.junit.jupiter.api.Test;

class MatchCorrelationTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(2, 100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final FieldLayout FIELD =
            new FieldLayout(
                    GEOMETRY, new RowGrid(4, 1e-3, 0.2e-3), false, ErrorCorrelation.INDEPENDENT);
    private static final RfFrame FRAME = RfFrame.allocate(GEOMETRY, SampleType.INT16);

    private final DisplacementField field = new DisplacementField(FIELD);

    private QualityMetric metric(String parameters, StrainLayout strain) {
        return Catalogue.create(
                Catalogue.qualityMetrics().get("match-correlation"),
                parameters,
                FIELD,
                strain,
                Workers.sequential());
    }

    private static StrainImage strain(RowGrid grid) {
        StrainImage image = new StrainImage(new StrainLayout(GEOMETRY, grid, false, 1e-3));
        Arrays.fill(image.axial(), 0f);
        return image;
    }

    @Test
    void averagesWhereStrainIsKnown() {
        StrainImage image = strain(FIELD.grid());
        System.arraycopy(
                new float[] {1f, 0.8f, 0.6f, 0.1f, 0.9f, 0.7f, 0.5f, 0f},
                0,
                field.correlation(),
                0,
                8);
        image.axial()[3] = Float.NaN;
        image.axial()[7] = Float.NaN;
        float[] map = new float[8];
        double score = metric("", image.layout()).score(FRAME, FRAME, field, image, map);
        assertEquals(4.5 / 6, score, 1e-6);
        assertArrayEquals(
                new float[] {1f, 0.8f, 0.6f, Float.NaN, 0.9f, 0.7f, 0.5f, Float.NaN}, map);
        double all =
                metric("count-unknown=true", image.layout())
                        .score(FRAME, FRAME, field, image, null);
        assertEquals(4.5 / 8, all, 1e-6);
    }

    @Test
    void interpolatesOntoOtherRows() {
        StrainImage image = strain(new RowGrid(5, 0.95e-3, 0.15e-3));
        System.arraycopy(new float[] {1f, 0.8f, 0.4f, 0f}, 0, field.correlation(), 0, 4);
        Arrays.fill(field.correlation(), 4, 8, 1f);
        float[] map = new float[10];
        metric("", image.layout()).score(FRAME, FRAME, field, image, map);
        // Depths 0.95 (a quarter row above the field), 1.1, 1.25, 1.4, 1.55 mm.
        assertArrayEquals(new float[] {1f, 0.9f, 0.7f, 0.4f, 0.1f}, Arrays.copyOf(map, 5), 1e-5f);
        assertEquals(1f, map[7]);
    }

    @Test
    void nothingKnownHasNoScore() {
        StrainImage image = strain(FIELD.grid());
        Arrays.fill(image.axial(), Float.NaN);
        assertTrue(
                Double.isNaN(metric("", image.layout()).score(FRAME, FRAME, field, image, null)));
    }

    @Test
    void refusesWhatDoesNotFit() {
        StrainImage image = strain(FIELD.grid());
        QualityMetric metric = metric("", image.layout());
        assertThrows(
                IllegalArgumentException.class,
                () -> metric.score(FRAME, FRAME, field, image, new float[7]));
        ScanGeometry other = ScanGeometry.linear(3, 100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        assertThrows(
                IllegalArgumentException.class,
                () -> metric("", new StrainLayout(other, FIELD.grid(), false, 1e-3)));
    }
}
