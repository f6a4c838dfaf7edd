package org.elasto.jmh.result;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.elasto.strain.live.Stage;

/** What was measured in a run, as text to read. */
public final class SpeedTable {

    private static final String HEAD =
            String.format(
                    Locale.ROOT,
                    "%-66s %9s %9s %9s %9s %9s %9s %7s%n",
                    "",
                    "time (ms)",
                    "frames/s",
                    "ns/sample",
                    "x floor",
                    "bytes",
                    "error um",
                    "known %");

    private static final String LEGEND =
            """

time: median over the iterations; x floor: the same in multiples of the floor, which
reads both 16-bit frames, converts, and writes one plane of complex floats; bytes:
allocated a frame, the benchmark driver's own few included; error: root mean square of
axial displacement against the phantom's truth where it is known, nothing left out;
known: share of what can be seen. Pairs of Displacement: both frames new.
""";

    private final List<Timing> timings;

    /**
     * For a run.
     *
     * @param timings what was measured
     */
    public SpeedTable(List<Timing> timings) {
        this.timings = List.copyOf(timings);
    }

    /**
     * The table, the session's stages, and how times grow with workers and size.
     *
     * @return the text
     */
    public String text() {
        Map<String, List<Timing>> groups = new LinkedHashMap<>();
        for (Timing timing : timings) {
            String group = timing.size() + ", workers: " + timing.workers();
            groups.computeIfAbsent(group, g -> new ArrayList<>()).add(timing);
        }
        StringBuilder text = new StringBuilder();
        groups.forEach(
                (group, list) -> {
                    text.append('\n').append(group).append('\n').append(HEAD);
                    list.forEach(timing -> text.append(row(timing)));
                });
        return text.append(LEGEND).append(stages()).append(growth()).toString();
    }

    private static String row(Timing timing) {
        double time = timing.medianMilliseconds();
        return String.format(
                Locale.ROOT,
                "%-66s %9s %9.0f %9.2f %9.1f %9s %9s %7s%n",
                timing.label(),
                String.format(Locale.ROOT, time < 10 ? "%.3f" : "%.1f", time),
                1000 / time,
                time * 1e6 / timing.samples(),
                timing.medianFloors(),
                number("%.1f", timing.fact("gc.alloc.rate.norm")),
                number("%.3f", timing.fact("error-um")),
                number("%.1f", timing.fact("known-percent")));
    }

    private String stages() {
        StringBuilder text = new StringBuilder();
        for (Timing timing : timings) {
            if (Double.isNaN(timing.fact("compared-percent"))) {
                continue;
            }
            text.append(
                    String.format(
                            Locale.ROOT,
                            "%n%s: mean time of each stage (us a frame), %.0f %% of the frames"
                                    + " compared%n",
                            timing.key(),
                            timing.fact("compared-percent")));
            for (Stage stage : Stage.values()) {
                String name = stage.name().toLowerCase(Locale.ROOT);
                double micros = timing.fact("stage-" + name + "-us");
                text.append(
                        String.format(Locale.ROOT, "  %-16s %9s%n", name, number("%.0f", micros)));
            }
        }
        return text.toString();
    }

    private String growth() {
        Map<String, List<Timing>> byLabel = new LinkedHashMap<>();
        for (Timing timing : timings) {
            byLabel.computeIfAbsent(timing.label(), l -> new ArrayList<>()).add(timing);
        }
        StringBuilder text = new StringBuilder();
        byLabel.forEach((label, list) -> text.append(growth(label, list)));
        return text.isEmpty()
                ? ""
                : "\nHow many times as fast two workers are as one, where both were"
                        + " measured, and\nhow the time a sample of one worker grows from size to"
                        + " size\n"
                        + text;
    }

    private static String growth(String label, List<Timing> list) {
        StringBuilder text = new StringBuilder();
        Timing smallest = null;
        Timing largest = null;
        for (Timing one : list) {
            if (one.workers() != 1) {
                continue;
            }
            smallest = smallest == null || one.samples() < smallest.samples() ? one : smallest;
            largest = largest == null || one.samples() > largest.samples() ? one : largest;
            for (Timing two : list) {
                if (two.workers() == 2 && two.size().equals(one.size())) {
                    double gain = one.medianMilliseconds() / two.medianMilliseconds();
                    text.append(
                            String.format(Locale.ROOT, "  two workers %s: %.2f", one.size(), gain));
                }
            }
        }
        if (smallest != null && smallest != largest) {
            double growth =
                    largest.medianMilliseconds()
                            / largest.samples()
                            / (smallest.medianMilliseconds() / smallest.samples());
            text.append(
                    String.format(
                            Locale.ROOT,
                            "  %s to %s: %.2f",
                            smallest.size(),
                            largest.size(),
                            growth));
        }
        return text.isEmpty() ? "" : String.format(Locale.ROOT, "%-66s%s%n", label, text);
    }

    private static String number(String format, double value) {
        return Double.isNaN(value) ? "-" : String.format(Locale.ROOT, format, value);
    }
}
