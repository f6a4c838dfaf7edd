package org.elasto.conformance;

import java.util.Locale;
import org.elasto.api.LineLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Two frames with the motion between them known. Samples are dense, line after line; every frame
 * that is handed out has memory of its own, so that whoever spoils it spoils nothing else.
 */
record Scene(
        ScanGeometry geometry,
        float[] reference,
        float[] moved,
        Motion motion,
        double echoLevel,
        String condition) {

    /** True motion at the rows of a grid. */
    @FunctionalInterface
    interface Motion {
        Planes at(RowGrid grid);
    }

    /** Planes as in a displacement field; visible tells where an estimator can know anything. */
    record Planes(float[] axial, float[] lateral, boolean[] visible) {}

    /** One sample's new value. */
    @FunctionalInterface
    interface Change {
        float apply(float sample, int line, int sampleNumber);
    }

    RfFrame referenceFrame() {
        return RfFrame.of(geometry, reference.clone());
    }

    RfFrame movedFrame() {
        return RfFrame.of(geometry, moved.clone()).stamp(1, 20_000_000);
    }

    Scene described(String addition) {
        return new Scene(
                geometry, reference, moved, motion, echoLevel, condition + ", " + addition);
    }

    Scene changed(Change ofReference, Change ofMoved, String addition) {
        return new Scene(
                geometry,
                change(reference, ofReference),
                change(moved, ofMoved),
                motion,
                echoLevel,
                condition + ", " + addition);
    }

    Scene scaled(float gain) {
        Change change = (sample, line, n) -> sample * gain;
        return changed(change, change, "samples x " + gain);
    }

    /** Whole numbers, well within 16 bits. */
    Scene rounded() {
        float gain = (float) (2000 / echoLevel);
        Change change =
                (sample, line, n) -> Math.max(-32000, Math.min(32000, Math.round(sample * gain)));
        return changed(change, change, "whole numbers");
    }

    /** Frames in each other's place; the motion is not known in closed form. */
    Scene swapped() {
        return new Scene(geometry, moved, reference, unknown(), echoLevel, condition + ", swapped");
    }

    /** First line last. */
    Scene mirrored() {
        return new Scene(
                geometry,
                mirror(reference),
                mirror(moved),
                unknown(),
                echoLevel,
                condition + ", lines mirrored");
    }

    private static Motion unknown() {
        return grid -> {
            throw new UnsupportedOperationException("the motion of this scene is not known");
        };
    }

    private float[] mirror(float[] samples) {
        int n = geometry.samples();
        float[] result = new float[samples.length];
        for (int line = 0; line < geometry.lines(); line++) {
            System.arraycopy(samples, line * n, result, (geometry.lines() - 1 - line) * n, n);
        }
        return result;
    }

    private float[] change(float[] samples, Change change) {
        int n = geometry.samples();
        float[] result = new float[samples.length];
        for (int i = 0; i < samples.length; i++) {
            result[i] = change.apply(samples[i], i / n, i % n);
        }
        return result;
    }

    static String describe(ScanGeometry g) {
        return String.format(
                Locale.ROOT,
                "%s %d lines x %d samples, %.4g MHz sampled at %.4g MHz",
                g.layout() instanceof LineLayout.Convex ? "convex" : "linear",
                g.lines(),
                g.samples(),
                g.centreFrequency() / 1e6,
                g.samplingFrequency() / 1e6);
    }
}
