package org.elasto.jmh.benchmark;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.PluginProvider;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.StrainEstimator;

/** Plugins chosen by {@code name}, {@code name:parameter=value,...} or {@code preferred}. */
final class Plugins {

    /** Stands for whatever the catalogue prefers. */
    static final String PREFERRED = "preferred";

    private Plugins() {}

    static DisplacementEstimator tracker(String choice, Scan scan) {
        return Catalogue.create(
                provider(Catalogue.displacementEstimators(), choice),
                parameters(choice),
                scan.geometry(),
                scan.threads());
    }

    static StrainEstimator differentiator(String choice, FieldLayout field, Scan scan) {
        return Catalogue.create(
                provider(Catalogue.strainEstimators(), choice),
                parameters(choice),
                field,
                scan.threads());
    }

    static QualityMetric metric(String choice, FieldLayout field, StrainLayout strain, Scan scan) {
        return Catalogue.create(
                Catalogue.qualityMetrics().get(name(choice)),
                parameters(choice),
                field,
                strain,
                scan.threads());
    }

    static String name(String choice) {
        int colon = choice.indexOf(':');
        return colon < 0 ? choice : choice.substring(0, colon);
    }

    static String parameters(String choice) {
        int colon = choice.indexOf(':');
        return colon < 0 ? "" : choice.substring(colon + 1);
    }

    private static <P extends PluginProvider<?>> P provider(Catalogue<P> catalogue, String choice) {
        String name = name(choice);
        return name.equals(PREFERRED) ? catalogue.preferred() : catalogue.get(name);
    }
}
