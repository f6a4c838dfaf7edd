package org.elasto.recordings.source;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.elasto.api.LineLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.recordings.array.ScanNames;

/** Puts a scan geometry together from what the caller gives and what the file says. */
final class ScanParameters {

    /** Common practice for soft tissue, no source. */
    private static final double SOUND_SPEED = 1540;

    /** Numbers that a file gives by name. */
    interface FileNumbers {

        /** The number of a name, or NaN if the file does not give it. */
        double number(String name) throws IOException;
    }

    private final String file;
    private final FileNumbers numbers;
    private final List<String> missing = new ArrayList<>();
    private boolean fromFile;

    private ScanParameters(String file, FileNumbers numbers) {
        this.file = file;
        this.numbers = numbers;
    }

    /**
     * The geometry of a recording.
     *
     * @throws IOException if the file cannot be read or gives an impossible value
     * @throws IllegalArgumentException if parameters are missing or do not go together
     */
    static ScanGeometry resolve(
            String file, ScanOptions options, FileNumbers numbers, int lines, int samples)
            throws IOException {
        return new ScanParameters(file, numbers).geometry(options, lines, samples);
    }

    private ScanGeometry geometry(ScanOptions options, int lines, int samples) throws IOException {
        double sampling =
                required(
                        "sampling-frequency",
                        options.samplingFrequency(),
                        ScanNames.SAMPLING_FREQUENCY);
        double centre =
                required("centre-frequency", options.centreFrequency(), ScanNames.CENTRE_FREQUENCY);
        double speed = optional(options.soundSpeed(), ScanNames.SOUND_SPEED);
        double depth = required("first-depth", options.firstDepth(), ScanNames.FIRST_DEPTH);
        LineLayout layout = layout(options);
        double rate = optional(options.frameRate(), ScanNames.FRAME_RATE);
        if (!missing.isEmpty()) {
            throw new IllegalArgumentException(
                    file
                            + " does not say: "
                            + String.join(", ", missing)
                            + "; give what is missing as parameters, in SI units");
        }
        try {
            return new ScanGeometry(
                    lines,
                    samples,
                    sampling,
                    centre,
                    Double.isNaN(speed) ? SOUND_SPEED : speed,
                    depth,
                    layout,
                    rate);
        } catch (IllegalArgumentException e) {
            String message = file + ": " + e.getMessage();
            if (fromFile) {
                throw new IOException(message, e);
            }
            throw new IllegalArgumentException(message, e);
        }
    }

    private LineLayout layout(ScanOptions options) throws IOException {
        boolean linearGiven = !Double.isNaN(options.linePitch());
        boolean convexGiven =
                !Double.isNaN(options.probeRadius()) || !Double.isNaN(options.angularPitch());
        if (linearGiven && convexGiven) {
            throw new IllegalArgumentException(
                    "line-pitch belongs to a linear array, probe-radius and angular-pitch to a"
                            + " convex one; give one or the other for "
                            + file);
        }
        double pitch =
                convexGiven ? Double.NaN : optional(options.linePitch(), ScanNames.LINE_PITCH);
        double radius =
                linearGiven ? Double.NaN : optional(options.probeRadius(), ScanNames.PROBE_RADIUS);
        double angle =
                linearGiven
                        ? Double.NaN
                        : optional(options.angularPitch(), ScanNames.ANGULAR_PITCH);
        boolean convex = !Double.isNaN(radius) || !Double.isNaN(angle);
        if (!Double.isNaN(pitch) && convex) {
            throw new IllegalArgumentException(
                    file
                            + " gives "
                            + ScanNames.LINE_PITCH
                            + " (linear array) and also "
                            + ScanNames.PROBE_RADIUS
                            + " or "
                            + ScanNames.ANGULAR_PITCH
                            + " (convex array); give line-pitch, or probe-radius and"
                            + " angular-pitch, to choose");
        }
        if (convex) {
            need("probe-radius", radius, ScanNames.PROBE_RADIUS);
            need("angular-pitch", angle, ScanNames.ANGULAR_PITCH);
            return Double.isNaN(radius) || Double.isNaN(angle)
                    ? null
                    : positive(() -> new LineLayout.Convex(radius, angle));
        }
        if (Double.isNaN(pitch)) {
            missing.add(
                    "line-pitch ("
                            + ScanNames.LINE_PITCH
                            + "), or for a convex array probe-radius ("
                            + ScanNames.PROBE_RADIUS
                            + ") and angular-pitch ("
                            + ScanNames.ANGULAR_PITCH
                            + ")");
            return null;
        }
        return positive(() -> new LineLayout.Linear(pitch));
    }

    private LineLayout positive(java.util.function.Supplier<LineLayout> layout) throws IOException {
        try {
            return layout.get();
        } catch (IllegalArgumentException e) {
            throw new IOException(file + ": " + e.getMessage(), e);
        }
    }

    private double required(String option, double given, String name) throws IOException {
        double value = optional(given, name);
        need(option, value, name);
        return value;
    }

    private void need(String option, double value, String name) {
        if (Double.isNaN(value)) {
            missing.add(option + " (" + name + ")");
        }
    }

    private double optional(double given, String name) throws IOException {
        if (!Double.isNaN(given)) {
            return given;
        }
        double value = numbers.number(name);
        fromFile |= !Double.isNaN(value);
        return value;
    }
}
