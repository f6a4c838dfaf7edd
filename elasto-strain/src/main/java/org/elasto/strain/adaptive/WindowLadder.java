package org.elasto.strain.adaptive;

import java.util.ArrayList;
import java.util.List;
import org.elasto.api.FieldLayout;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlopeWeights;
import org.elasto.strain.shared.StepResponse;

/**
 * The windows that are tried, from the shortest to the longest.
 *
 * @param windows the windows
 * @param typicalWindow the first that meets the wanted precision where deviations are typical, or
 *     the longest
 * @param resolution 10 % to 90 % of the step response there (m)
 */
record WindowLadder(RowWindow[] windows, RowWindow typicalWindow, double resolution) {

    /** How much longer a window is than the one before, where rows allow. */
    private static final double STEP = 1.25;

    static WindowLadder of(AdaptiveWindowConfig config, FieldLayout field) {
        double share = config.usableShare();
        RowWindow shortest = RowWindow.of("least-depth", config.leastDepth(), share, field);
        RowWindow longest = RowWindow.of("most-depth", config.mostDepth(), share, field);
        List<RowWindow> windows = new ArrayList<>();
        windows.add(shortest);
        int half = shortest.half();
        while (half < longest.half()) {
            half = Math.min(longest.half(), (int) Math.ceil(half * STEP));
            double depth = 2 * half * field.grid().spacing();
            windows.add(RowWindow.of("most-depth", depth, share, field));
        }
        return at(windows.toArray(new RowWindow[0]), config);
    }

    /** Goes up the ladder as {@link AdaptiveWindow} does, with even deviations. */
    private static WindowLadder at(RowWindow[] windows, AdaptiveWindowConfig config) {
        double spacing = windows[0].spacing();
        SlopeWeights before = null;
        double deviationBefore = Double.NaN;
        for (RowWindow window : windows) {
            SlopeWeights weights = new SlopeWeights(window, 1, null);
            double deviation = weights.deviation() * config.typicalDeviation();
            if (deviation <= config.precision() && before != null) {
                double part =
                        (deviationBefore - config.precision()) / (deviationBefore - deviation);
                double[] mixed = mix(before.whole(), weights.whole(), part);
                return new WindowLadder(windows, window, StepResponse.width(mixed, spacing));
            }
            if (deviation <= config.precision()) {
                return new WindowLadder(windows, window, weights.resolution());
            }
            before = weights;
            deviationBefore = deviation;
        }
        return new WindowLadder(windows, windows[windows.length - 1], before.resolution());
    }

    private static double[] mix(double[] shorter, double[] longer, double part) {
        double[] mixed = new double[longer.length];
        int inset = (longer.length - shorter.length) / 2;
        for (int i = 0; i < mixed.length; i++) {
            mixed[i] = part * longer[i];
        }
        for (int i = 0; i < shorter.length; i++) {
            mixed[inset + i] += (1 - part) * shorter[i];
        }
        return mixed;
    }
}
