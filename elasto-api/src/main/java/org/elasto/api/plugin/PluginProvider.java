package org.elasto.api.plugin;

import org.elasto.api.config.ConfigSchema;

/**
 * What all providers have in common. Implementations are stateless, thread-safe and have a public
 * constructor without arguments; they are registered under their own contract by {@code provides}
 * in {@code module-info} and by {@code META-INF/services}.
 *
 * @param <C> config record
 */
public interface PluginProvider<C extends Record> {

    /**
     * Name by which the plugin is chosen: unique within its contract, lower-case words joined by
     * hyphens.
     *
     * @return the name
     */
    String name();

    /**
     * What the plugin does, in one line.
     *
     * @return the summary
     */
    String summary();

    /**
     * The method's source: a paper, or "common practice, no source".
     *
     * @return the source
     */
    String source();

    /**
     * The config with every parameter at its default.
     *
     * @return the defaults
     */
    C defaults();

    /**
     * Whether this plugin is taken when the caller names none. At most one provider of a contract
     * says so.
     *
     * @return true for the preferred one
     */
    default boolean preferred() {
        return false;
    }

    /**
     * The parameters of the config record.
     *
     * @return the schema
     */
    @SuppressWarnings("unchecked")
    default ConfigSchema<C> schema() {
        return ConfigSchema.of((Class<C>) defaults().getClass());
    }
}
