package org.elasto.compare;

import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Signal over noise of strain against strain, as text to read and as CSV. */
final class StrainFilterTable {

    private static final String HEAD =
            "strain %   signal/   predicted  with smallest  mean/     scatter   trusted   time\n"
                    + "           noise                displ. errors  applied   %         %        "
                    + " ms\n";

    private final Map<String, List<StrainFilter>> results;

    StrainFilterTable(Map<String, List<StrainFilter>> results) {
        this.results = results;
    }

    String text() {
        StringBuilder text = new StringBuilder();
        results.forEach(
                (name, list) -> {
                    text.append('\n').append(name).append('\n').append(HEAD);
                    for (StrainFilter f : list) {
                        text.append(
                                String.format(
                                        Locale.ROOT,
                                        "%-8s %9s %11s %14s %8s %11s %9s %6.1f%n",
                                        Texts.number("%.3g", f.applied() * 100),
                                        Texts.number("%.2f", f.signalToNoise()),
                                        Texts.number("%.2f", f.predictedSignalToNoise()),
                                        Texts.number("%.2f", f.bound()),
                                        Texts.number("%.3f", f.meanShare()),
                                        Texts.number("%.4f", f.deviation() * 100),
                                        Texts.number("%.1f", f.trustedShare() * 100),
                                        f.milliseconds()));
                    }
                });
        text.append(
                """

signal/noise: mean over standard deviation of the trusted strain, 5 mm from the ends and
3 mm from the sides; predicted: with the deviations that the estimator predicts; with
smallest displ. errors: with those it predicts where errors of displacement are the
smallest possible for noise (of one pair of frames, of the windows that the displacement
estimator states), a bound for estimators whose averaging does not follow the deviation;
- : less than 1 % trusted
""");
        return text.toString();
    }

    String csv() {
        StringBuilder text =
                new StringBuilder(
                        "strain_estimator,strain,signal_over_noise,predicted_signal_over_noise,"
                                + "smallest_error_signal_over_noise,mean_over_applied,deviation,"
                                + "trusted_share,time_ms\n");
        results.forEach(
                (name, list) -> {
                    for (StrainFilter f : list) {
                        text.append(
                                String.format(
                                        Locale.ROOT,
                                        "\"%s\",%.6g,%.4g,%.4g,%.4g,%.5g,%.4g,%.4g,%.4g%n",
                                        name,
                                        f.applied(),
                                        f.signalToNoise(),
                                        f.predictedSignalToNoise(),
                                        f.bound(),
                                        f.meanShare(),
                                        f.deviation(),
                                        f.trustedShare(),
                                        f.milliseconds()));
                    }
                });
        return text.toString();
    }
}
