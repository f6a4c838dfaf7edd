package org.elasto.compare;

import java.util.Locale;

/** What is measured of a frame pair and, over all pairs, of a case. Values are in SI units. */
enum Measure {
    DISPLACEMENT_ERROR(
            "displacement error", "um", 1e6, "%.3f", true, "root mean square, where trusted"),
    STRAIN_ERROR("strain error", "%", 100, "%.4f", true, "root mean square, where trusted"),
    BOUND(
            "smallest possible",
            "um",
            1e6,
            "%.3f",
            true,
            "smallest displacement error that the echoes allow for windows of this size"),
    GROSS_SHARE("gross", "%", 100, "%.2f", false, "share of errors beyond a quarter wavelength"),
    KNOWN_SHARE("known", "%", 100, "%.1f", false, "share of what can be seen that is known"),
    TRUSTED_SHARE("trusted", "%", 100, "%.1f", false, "share of the picture that is trusted"),
    ERROR_OVER_PREDICTED(
            "error / predicted",
            "",
            1,
            "%.2f",
            false,
            "deviation of the error over the predicted one; 1 is right"),
    CONTRAST_TO_NOISE(
            "contrast-to-noise", "", 1, "%.1f", false, "of the inclusions' strain, their mean"),
    RATIO_ERROR(
            "ratio error",
            "%",
            100,
            "%.1f",
            true,
            "strain inside over beside an inclusion against the true ratio"),
    TRUE_STRAIN("true strain", "%", 100, "%.3f", false, "mean true strain of a pair, its size"),
    PREDICTED_ERROR("predicted error", "um", 1e6, "%.3f", true, "predicted deviation where known"),
    MILLISECONDS("time", "ms", 1, "%.1f", false, "displacement and strain of a pair, the shortest");

    private final String label;
    private final String unit;
    private final double factor;
    private final String format;
    private final boolean rootMeanSquare;
    private final String meaning;

    Measure(
            String label,
            String unit,
            double factor,
            String format,
            boolean rootMeanSquare,
            String meaning) {
        this.label = label;
        this.unit = unit;
        this.factor = factor;
        this.format = format;
        this.rootMeanSquare = rootMeanSquare;
        this.meaning = meaning;
    }

    /** Name in files, such as {@code displacement-error}. */
    String key() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    String label() {
        return label;
    }

    String unit() {
        return unit;
    }

    String meaning() {
        return meaning;
    }

    /** A value in the unit that is shown. */
    double shown(double value) {
        return value * factor;
    }

    String text(double value) {
        return Texts.number(format, value * factor);
    }

    /** One value for several pairs; NaN where none has any. */
    double over(java.util.stream.DoubleStream values) {
        double[] known =
                values.filter(v -> !Double.isNaN(v))
                        .map(v -> this == TRUE_STRAIN ? Math.abs(v) : v)
                        .toArray();
        if (known.length == 0) {
            return Double.NaN;
        }
        if (this == MILLISECONDS) {
            return java.util.Arrays.stream(known).min().getAsDouble();
        }
        double sum = 0;
        for (double value : known) {
            sum += rootMeanSquare ? value * value : value;
        }
        double mean = sum / known.length;
        return rootMeanSquare ? Math.sqrt(mean) : mean;
    }
}
