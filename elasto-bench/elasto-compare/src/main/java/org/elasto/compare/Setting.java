package org.elasto.compare;

import java.util.Map;
import java.util.stream.Collectors;
import org.elasto.api.plugin.PluginProvider;

/**
 * A plugin with its parameters, as a comparison sets it.
 *
 * @param name name of the provider
 * @param parameters what is given of its parameters, value texts by name
 * @param label how it is called in tables: the name, and what is varied of the parameters
 */
record Setting(String name, Map<String, String> parameters, String label) {

    /** The parameters as the catalogue takes them. */
    String text() {
        return parameters.entrySet().stream()
                .map(e -> e.getKey() + "=" + e.getValue())
                .collect(Collectors.joining(","));
    }

    /** Every parameter of the plugin, the given ones among them. */
    static <C extends Record> Map<String, String> all(PluginProvider<C> provider, String text) {
        return provider.schema().toText(provider.schema().parse(provider.defaults(), text));
    }
}
