package org.elasto.strain;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.stream.Stream;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.Draws;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Named;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What every strain estimator does to a step and to errors, closer than the conformance kit looks.
 */
class EveryEstimatorTest {

    private static final double SPACING = 0.15e-3;
    private static final ErrorCorrelation OVERLAPPING =
            new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2.1e-3);

    static Stream<Named<StrainEstimatorProvider<?>>> providers() {
        return Catalogue.strainEstimators().providers().stream()
                .map(provider -> Named.of(provider.name(), provider));
    }

    private static StrainEstimator make(StrainEstimatorProvider<?> provider, FieldLayout layout) {
        return Catalogue.create(provider, "", layout, Workers.sequential());
    }

    /**
     * A step of strain moves past a row in steps of a twentieth of a row; what that row answers
     * rises from 10 % to 90 % over the stated depth. The deviation is the typical one that the
     * adaptive window and the Kalman smoother state their resolution for. (The definition is that
     * of {@code StrainLayout}; common practice, no source.)
     */
    @ParameterizedTest
    @MethodSource("providers")
    void resolutionIsRiseOfStepResponse(StrainEstimatorProvider<?> provider) {
        int rows = 201;
        int middle = 100;
        FieldLayout layout = Fields.layout(1, rows, SPACING, OVERLAPPING);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.axialDeviation(), 0.5e-6f);
        StrainEstimator estimator = make(provider, layout);
        StrainImage image = estimator.newImage();
        double ten = Double.NaN;
        double ninety = Double.NaN;
        for (double step = middle + 50; step > middle - 50; step -= 0.05) {
            for (int r = 0; r < rows; r++) {
                field.axial()[r] = (float) (-0.005 * Math.max(0, r - step) * SPACING);
            }
            estimator.estimate(field, image);
            double response = image.axial()[middle] / -0.005;
            ten = Double.isNaN(ten) && response >= 0.1 ? step : ten;
            ninety = Double.isNaN(ninety) && response >= 0.9 ? step : ninety;
        }
        double resolution = estimator.layout().resolution() / SPACING;
        // Linear estimators to a step of the sweep; the sharp step of total variation depends on
        // where
        // between two rows it lies.
        double tolerance = provider.name().equals("total-variation") ? 1 : 0.12;
        assertEquals(resolution, ten - ninety, tolerance);
    }

    /**
     * Strain from errors drawn by Cholesky decomposition (EJML) of the covariance that the field
     * states: their deviation is the predicted one.
     */
    @ParameterizedTest
    @MethodSource("providers")
    void noiseIsAsPredicted(StrainEstimatorProvider<?> provider) {
        int rows = 140;
        int lines = 400;
        FieldLayout layout = Fields.layout(lines, rows, SPACING, OVERLAPPING);
        DisplacementField field = Fields.known(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            field.axialDeviation()[i] = (float) (0.4e-6 * (1 + 0.5 * Math.sin(i % rows / 15.0)));
            field.axial()[i] = (float) (-0.004 * (i % rows) * SPACING);
        }
        Draws.addErrors(field, 3);
        StrainEstimator estimator = make(provider, layout);
        StrainImage image = estimator.newImage();
        estimator.estimate(field, image);
        double sum = 0;
        int count = 0;
        for (int line = 0; line < lines; line++) {
            for (int r = 40; r < rows - 40; r++) {
                int i = line * rows + r;
                sum += Math.pow((image.axial()[i] + 0.004) / image.axialDeviation()[i], 2);
                count++;
            }
        }
        assertEquals(lines * 60, count);
        double ratio = Math.sqrt(sum / count);
        // 400 lines with at least two independent strains each: a deviation of 2.5 %, four of them;
        // the
        // Kalman smoother's correction for colour and the adaptive window's bound are nearly exact.
        // Total variation knows its deviation from one drawing only, as well as the kit demands.
        assertEquals(1, ratio, provider.name().equals("total-variation") ? 0.2 : 0.1);
    }
}
