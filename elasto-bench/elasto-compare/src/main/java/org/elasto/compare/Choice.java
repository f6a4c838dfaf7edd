package org.elasto.compare;

/**
 * A plugin as it is chosen on the command line: {@code name} or {@code name:parameter=value,...}.
 *
 * @param name the provider's name, empty for the preferred one
 * @param parameters its parameters as text
 */
record Choice(String name, String parameters) {

    static Choice of(String text) {
        int colon = text.indexOf(':');
        return colon < 0
                ? new Choice(text.trim(), "")
                : new Choice(text.substring(0, colon).trim(), text.substring(colon + 1));
    }

    <P extends org.elasto.api.plugin.PluginProvider<?>> P provider(
            org.elasto.api.plugin.Catalogue<P> catalogue) {
        return name.isEmpty() ? catalogue.preferred() : catalogue.get(name);
    }
}
