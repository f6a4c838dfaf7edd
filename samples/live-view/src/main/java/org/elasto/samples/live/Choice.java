package org.elasto.samples.live;

import java.util.Map;
import java.util.stream.Collectors;
import org.elasto.api.plugin.Catalogue;

/** What is chosen in the window for a session. */
record Choice(
        String tracker,
        Map<String, String> trackerParameters,
        String differentiator,
        Map<String, String> differentiatorParameters,
        double halfLife) {

    /** What is preferred, with everything at its default. */
    static Choice preferred() {
        return new Choice(
                Catalogue.displacementEstimators().preferred().name(),
                Map.of(),
                Catalogue.strainEstimators().preferred().name(),
                Map.of(),
                org.elasto.strain.live.LiveConfig.DEFAULTS.halfLife());
    }

    Choice withTracker(String name, Map<String, String> parameters) {
        return new Choice(name, parameters, differentiator, differentiatorParameters, halfLife);
    }

    Choice withDifferentiator(String name, Map<String, String> parameters) {
        return new Choice(tracker, trackerParameters, name, parameters, halfLife);
    }

    Choice withHalfLife(double seconds) {
        return new Choice(
                tracker, trackerParameters, differentiator, differentiatorParameters, seconds);
    }

    static String text(Map<String, String> parameters) {
        return parameters.entrySet().stream()
                .map(entry -> entry.getKey() + "=" + entry.getValue())
                .collect(Collectors.joining(","));
    }
}
