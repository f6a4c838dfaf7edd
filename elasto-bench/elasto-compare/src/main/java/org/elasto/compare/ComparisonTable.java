package org.elasto.compare;

import java.util.Map;

/** The outcome of a comparison as CSV, in SI units. */
final class ComparisonTable {

    private ComparisonTable() {}

    static String csv(Map<ComparisonCase, CaseOutcome> outcomes) {
        StringBuilder text = new StringBuilder("source,displacement,strain,first,second");
        for (Measure measure : Measure.values()) {
            text.append(',').append(measure.key());
        }
        text.append(",problem\n");
        outcomes.forEach(
                (work, outcome) -> {
                    if (!outcome.done()) {
                        name(text, work);
                        text.append(",,").append(",".repeat(Measure.values().length + 1));
                        text.append(quote(outcome.problem())).append('\n');
                        return;
                    }
                    for (CaseMeasures.Pair pair : outcome.measures().pairs()) {
                        name(text, work);
                        text.append(',').append(pair.first()).append(',').append(pair.second());
                        for (Measure measure : Measure.values()) {
                            double value = pair.value(measure);
                            text.append(',').append(Double.isNaN(value) ? "" : value);
                        }
                        text.append(",\n");
                    }
                });
        return text.toString();
    }

    private static void name(StringBuilder text, ComparisonCase work) {
        text.append(quote(work.source().label())).append(',');
        text.append(quote(work.estimator().label())).append(',');
        text.append(quote(work.strain().label()));
    }

    private static String quote(String text) {
        return '"' + text.replace("\"", "\"\"").replace('\n', ' ') + '"';
    }
}
