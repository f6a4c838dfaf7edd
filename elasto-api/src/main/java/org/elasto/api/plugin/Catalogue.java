package org.elasto.api.plugin;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.ServiceLoader;
import java.util.TreeMap;
import java.util.regex.Pattern;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;

/**
 * The providers of one contract by name. Immutable and thread-safe.
 *
 * <p>Names are checked when a catalogue is made: two providers of one name are an error, never
 * first-come. A name that is not there is answered with the names that are.
 *
 * @param <P> the provider contract
 */
public final class Catalogue<P extends PluginProvider<?>> {

    private static final Pattern NAME = Pattern.compile("[a-z][a-z0-9]*(-[a-z0-9]+)*");

    private final String contract;
    private final Map<String, P> byName = new TreeMap<>();

    private Catalogue(String contract, Iterable<? extends P> providers) {
        this.contract = contract;
        for (P provider : providers) {
            String name = provider.name();
            if (name == null || !NAME.matcher(name).matches()) {
                throw new IllegalArgumentException(
                        contract
                                + " "
                                + provider.getClass().getName()
                                + " is named '"
                                + name
                                + "'; a name is lower-case words joined by hyphens");
            }
            P other = byName.put(name, provider);
            if (other != null) {
                throw new IllegalArgumentException(
                        "two providers are named '"
                                + name
                                + "': "
                                + other.getClass().getName()
                                + " and "
                                + provider.getClass().getName());
            }
        }
        List<String> preferred = new ArrayList<>();
        byName.forEach(
                (name, provider) -> {
                    if (provider.preferred()) {
                        preferred.add(name);
                    }
                });
        if (preferred.size() > 1) {
            throw new IllegalArgumentException(
                    "several providers claim to be the preferred "
                            + contract
                            + ": "
                            + String.join(", ", preferred));
        }
    }

    /**
     * A catalogue of given providers.
     *
     * @param contract what they are called in messages, such as {@code displacement estimator}
     * @param providers the providers
     * @param <P> the provider contract
     * @return the catalogue
     * @throws IllegalArgumentException for a bad or repeated name, or two preferred providers
     */
    public static <P extends PluginProvider<?>> Catalogue<P> of(
            String contract, Collection<? extends P> providers) {
        return new Catalogue<>(contract, providers);
    }

    /**
     * The frame sources on the module path and the class path.
     *
     * @return the catalogue
     * @throws IllegalArgumentException as {@link #of}
     * @throws java.util.ServiceConfigurationError if a provider cannot be loaded
     */
    public static Catalogue<FrameSourceProvider<?>> frameSources() {
        return load("frame source", ServiceLoader.load(FrameSourceProvider.class));
    }

    /**
     * The displacement estimators on the module path and the class path.
     *
     * @return the catalogue
     * @throws IllegalArgumentException as {@link #of}
     * @throws java.util.ServiceConfigurationError if a provider cannot be loaded
     */
    public static Catalogue<DisplacementEstimatorProvider<?>> displacementEstimators() {
        return load(
                "displacement estimator", ServiceLoader.load(DisplacementEstimatorProvider.class));
    }

    /**
     * The strain estimators on the module path and the class path.
     *
     * @return the catalogue
     * @throws IllegalArgumentException as {@link #of}
     * @throws java.util.ServiceConfigurationError if a provider cannot be loaded
     */
    public static Catalogue<StrainEstimatorProvider<?>> strainEstimators() {
        return load("strain estimator", ServiceLoader.load(StrainEstimatorProvider.class));
    }

    /**
     * The quality metrics on the module path and the class path.
     *
     * @return the catalogue
     * @throws IllegalArgumentException as {@link #of}
     * @throws java.util.ServiceConfigurationError if a provider cannot be loaded
     */
    public static Catalogue<QualityMetricProvider<?>> qualityMetrics() {
        return load("quality metric", ServiceLoader.load(QualityMetricProvider.class));
    }

    // A service is declared by its raw class; every provider is one of PluginProvider<something>.
    @SuppressWarnings("unchecked")
    private static <R extends PluginProvider<?>, P extends PluginProvider<?>> Catalogue<P> load(
            String contract, ServiceLoader<R> loader) {
        return new Catalogue<>(contract, (Iterable<P>) (Iterable<?>) loader);
    }

    /**
     * What the plugins of this catalogue are called.
     *
     * @return such as {@code displacement estimator}
     */
    public String contract() {
        return contract;
    }

    /**
     * The names, in alphabetical order.
     *
     * @return an immutable list
     */
    public List<String> names() {
        return List.copyOf(byName.keySet());
    }

    /**
     * The providers, in alphabetical order of their names.
     *
     * @return an immutable list
     */
    public List<P> providers() {
        return List.copyOf(byName.values());
    }

    /**
     * The provider of a name.
     *
     * @param name the name
     * @return the provider
     * @throws IllegalArgumentException if there is none, with the names there are
     */
    public P get(String name) {
        P provider = name == null ? null : byName.get(name);
        if (provider == null) {
            throw new IllegalArgumentException(
                    "there is no "
                            + contract
                            + " named '"
                            + name
                            + "'; "
                            + (byName.isEmpty()
                                    ? "none is installed"
                                    : "there are: " + String.join(", ", byName.keySet())));
        }
        return provider;
    }

    /**
     * The provider that is taken when the caller names none.
     *
     * @return the preferred provider
     * @throws IllegalArgumentException if no provider is preferred
     */
    public P preferred() {
        return byName.values().stream()
                .filter(PluginProvider::preferred)
                .findFirst()
                .orElseThrow(
                        () ->
                                new IllegalArgumentException(
                                        "no "
                                                + contract
                                                + " is preferred; name one of: "
                                                + String.join(", ", byName.keySet())));
    }

    /**
     * Makes a displacement estimator with its defaults changed by text.
     *
     * @param provider the provider
     * @param parameters as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}
     * @param geometry geometry of the frames
     * @param workers threads it may use
     * @param <C> config record
     * @return the estimator
     * @throws IllegalArgumentException if text, config or geometry do not fit
     */
    public static <C extends Record> DisplacementEstimator create(
            DisplacementEstimatorProvider<C> provider,
            String parameters,
            ScanGeometry geometry,
            Workers workers) {
        return provider.create(config(provider, parameters), geometry, workers);
    }

    /**
     * Makes a strain estimator with its defaults changed by text.
     *
     * @param provider the provider
     * @param parameters as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}
     * @param field layout of the displacement fields
     * @param workers threads it may use
     * @param <C> config record
     * @return the estimator
     * @throws IllegalArgumentException if text, config or layout do not fit
     */
    public static <C extends Record> StrainEstimator create(
            StrainEstimatorProvider<C> provider,
            String parameters,
            FieldLayout field,
            Workers workers) {
        return provider.create(config(provider, parameters), field, workers);
    }

    /**
     * Makes a quality metric with its defaults changed by text.
     *
     * @param provider the provider
     * @param parameters as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}
     * @param field layout of the displacement fields
     * @param strain layout of the strain images
     * @param workers threads it may use
     * @param <C> config record
     * @return the metric
     * @throws IllegalArgumentException if text, config or layouts do not fit
     */
    public static <C extends Record> QualityMetric create(
            QualityMetricProvider<C> provider,
            String parameters,
            FieldLayout field,
            StrainLayout strain,
            Workers workers) {
        return provider.create(config(provider, parameters), field, strain, workers);
    }

    /**
     * Opens a frame source with its defaults changed by text.
     *
     * @param provider the provider
     * @param parameters as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}
     * @param location what to open
     * @param <C> config record
     * @return the source
     * @throws java.io.IOException if it cannot be opened
     * @throws IllegalArgumentException if text or config do not fit
     */
    public static <C extends Record> FrameSource open(
            FrameSourceProvider<C> provider, String parameters, String location)
            throws java.io.IOException {
        return provider.open(config(provider, parameters), location);
    }

    private static <C extends Record> C config(PluginProvider<C> provider, String parameters) {
        try {
            return provider.schema().parse(provider.defaults(), parameters);
        } catch (IllegalArgumentException e) {
            throw new IllegalArgumentException(provider.name() + ": " + e.getMessage(), e);
        }
    }
}
