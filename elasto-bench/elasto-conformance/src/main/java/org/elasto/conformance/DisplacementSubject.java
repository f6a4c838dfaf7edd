package org.elasto.conformance;

import java.util.List;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/** The displacement estimator under test, and how to use it. */
record DisplacementSubject(
        DisplacementEstimatorProvider<?> provider,
        String parameters,
        ScanGeometry geometry,
        DisplacementExpectations stated) {

    DisplacementEstimator make() {
        return make(geometry, Workers.sequential());
    }

    DisplacementEstimator make(ScanGeometry other, Workers workers) {
        return make(parameters, other, workers);
    }

    DisplacementEstimator make(String text, ScanGeometry other, Workers workers) {
        return Catalogue.create(provider, text, other, workers);
    }

    /** A field of a fresh estimator. */
    DisplacementField estimate(Scene scene) {
        return estimate(make(scene.geometry(), Workers.sequential()), scene);
    }

    static DisplacementField estimate(DisplacementEstimator estimator, Scene scene) {
        return estimate(estimator, scene.referenceFrame(), scene.movedFrame(), scene.condition());
    }

    static DisplacementField estimate(
            DisplacementEstimator estimator, RfFrame reference, RfFrame moved, String condition) {
        DisplacementField field = estimator.newField();
        try {
            estimator.estimate(reference, moved, field);
        } catch (RuntimeException e) {
            throw new AssertionError("estimate threw " + e + " [" + condition + "]", e);
        }
        return field;
    }

    Cells cells(DisplacementField field, double displacement) {
        return new Cells(field.layout(), stated, displacement).demand();
    }

    /** Errors over several scenes, all of this subject's geometry, with one estimator. */
    ErrorStatistics errors(List<Scene> scenes, double displacement) {
        ErrorStatistics errors = new ErrorStatistics(geometry.wavelength());
        DisplacementEstimator estimator = make();
        for (Scene scene : scenes) {
            DisplacementField field = estimate(estimator, scene);
            errors.add(field, scene.motion().at(field.layout().grid()), cells(field, displacement));
        }
        return errors;
    }

    double wavelength() {
        return geometry.wavelength();
    }

    /** A shift by so many samples, or less where the estimator cannot follow as far. */
    double shift(double samples) {
        double farthest = 0.9 * stated.largestDisplacement();
        double shift = samples * sampleSpacing();
        return Math.max(-farthest, Math.min(farthest, shift));
    }

    /** A strain, or less where the estimator cannot follow as far at the far end. */
    double strain(double strain) {
        double most = 0.9 * stated.largestDisplacement() / geometry.lastDepth();
        return Math.max(-most, Math.min(most, strain));
    }

    double sampleSpacing() {
        return geometry.sampleSpacing();
    }
}
