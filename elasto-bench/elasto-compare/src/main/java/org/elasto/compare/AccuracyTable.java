package org.elasto.compare;

import java.util.List;
import java.util.Locale;
import java.util.Map;

/** What was measured of estimators over conditions, as text to read and as CSV. */
final class AccuracyTable {

    private static final String HEAD =
            "condition               error      bias    jitter/   gross   known  claimed  error/  "
                    + " lateral   time\n"
                    + "                        um         um      bound     %       %      unseen% "
                    + " predicted um        ms\n";

    private final Map<String, List<Accuracy>> results;

    AccuracyTable(Map<String, List<Accuracy>> results) {
        this.results = results;
    }

    String text() {
        StringBuilder text = new StringBuilder();
        results.forEach(
                (name, list) -> {
                    text.append('\n').append(name).append('\n').append(HEAD);
                    for (Accuracy a : list) {
                        text.append(
                                String.format(
                                        Locale.ROOT,
                                        "%-20s %8s %9s %9s %8s %7s %7s %9s %8s %7.1f%n",
                                        a.condition().label(),
                                        Texts.number("%.3f", a.error() * 1e6),
                                        Texts.number("%.3f", a.bias() * 1e6),
                                        Texts.number("%.2f", a.jitter()),
                                        Texts.number("%.2f", a.grossShare() * 100),
                                        Texts.number("%.1f", a.knownShare() * 100),
                                        Texts.number("%.2f", a.falseShare() * 100),
                                        Texts.number("%.2f", a.calibration()),
                                        Texts.number("%.1f", a.lateralError() * 1e6),
                                        a.milliseconds()));
                    }
                });
        text.append(
                """

error: root mean square of what is known, gross errors left out; gross: share beyond a
quarter of the wavelength; known: share of what can be seen; claimed unseen: share of
what cannot be seen; error/predicted: standard deviation, 1 is right; - : nothing to count
""");
        return text.toString();
    }

    String csv() {
        StringBuilder text =
                new StringBuilder(
                        "estimator,group,value,error_m,bias_m,jitter_over_bound,gross_share,"
                                + "known_share,claimed_unseen_share,error_over_predicted,"
                                + "lateral_error_m,time_ms\n");
        results.forEach(
                (name, list) -> {
                    for (Accuracy a : list) {
                        text.append(
                                String.format(
                                        Locale.ROOT,
                                        "\"%s\",%s,%s,%.4g,%.4g,%.4g,%.4g,%.4g,%.4g,%.4g,%.4g,%.4g%n",
                                        name,
                                        a.condition().group(),
                                        a.condition().value(),
                                        a.error(),
                                        a.bias(),
                                        a.jitter(),
                                        a.grossShare(),
                                        a.knownShare(),
                                        a.falseShare(),
                                        a.calibration(),
                                        a.lateralError(),
                                        a.milliseconds()));
                    }
                });
        return text.toString();
    }
}
