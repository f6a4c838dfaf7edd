package org.elasto.conformance;

import java.io.IOException;
import java.lang.module.ModuleDescriptor;
import java.lang.module.ModuleFinder;
import java.lang.module.ModuleReference;
import java.net.URI;
import java.net.URISyntaxException;
import java.net.URL;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.CodeSource;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.ParameterInfo;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.PluginProvider;

/** What every provider holds to, whatever it makes. */
final class ProviderChecks {

    private static final String NAME = "[a-z][a-z0-9]*(-[a-z0-9]+)*";

    private final PluginProvider<?> provider;
    private final Class<?> contract;

    ProviderChecks(PluginProvider<?> provider, Class<?> contract) {
        this.provider = provider;
        this.contract = contract;
    }

    private String who() {
        return "provider " + provider.getClass().getName();
    }

    void selfDescription(Tally tally) {
        String name = provider.name();
        tally.expect(
                name != null && name.matches(NAME),
                "name '" + name + "'",
                "lower-case words joined by hyphens",
                who());
        oneLine(tally, "summary", provider.summary());
        oneLine(tally, "source", provider.source());
        tally.expect(
                provider.name().equals(name) && provider.defaults().equals(provider.defaults()),
                "a name or defaults that change",
                "the same at every call",
                who());
        Set<String> names = new LinkedHashSet<>();
        for (ParameterInfo parameter : provider.schema().parameters()) {
            oneLine(tally, "meaning of " + parameter.name(), parameter.meaning());
            tally.expect(
                    names.add(parameter.name()),
                    "two parameters named " + parameter.name(),
                    "one of each name",
                    who());
            tally.expect(
                    !(parameter.min() > parameter.max()),
                    parameter.name() + " from " + parameter.min() + " to " + parameter.max(),
                    "a range that is not empty",
                    who());
        }
    }

    void oneLine(Tally tally, String what, String text) {
        tally.expect(
                text != null && !text.isBlank() && text.lines().count() == 1,
                what + " '" + text + "'",
                "one line that is not blank",
                who());
    }

    /** From record to text and back, and that wrong text is refused in words. */
    void parameters(Tally tally) {
        parameters(tally, provider);
    }

    private <C extends Record> void parameters(Tally tally, PluginProvider<C> typed) {
        ConfigSchema<C> schema = typed.schema();
        C defaults = typed.defaults();
        tally.expect(
                schema.type().equals(defaults.getClass()),
                "a schema of " + schema.type(),
                "one of " + defaults.getClass(),
                who());
        Map<String, String> text = schema.toText(defaults);
        C back = schema.parse(defaults, text);
        tally.expect(back.equals(defaults), "" + back, "" + defaults + " from " + text, who());
        tally.expect(
                schema.parse(defaults, "").equals(defaults),
                "other values from empty text",
                "the defaults",
                who());
        Refusals.expect(
                tally,
                who() + ", parameter no-such-parameter",
                () -> schema.parse(defaults, "no-such-parameter=1"),
                "no-such-parameter");
        for (ParameterInfo parameter : schema.parameters()) {
            for (String value : limits(parameter)) {
                roundTrip(tally, schema, defaults, parameter, value);
            }
            for (String value : beyond(parameter)) {
                Refusals.expect(
                        tally,
                        who() + ", " + parameter.name() + "=" + value,
                        () -> schema.parse(defaults, Map.of(parameter.name(), value)),
                        parameter.name());
            }
        }
    }

    /** A limit may still contradict another parameter; then the refusal says so. */
    private <C extends Record> void roundTrip(
            Tally tally,
            ConfigSchema<C> schema,
            C defaults,
            ParameterInfo parameter,
            String value) {
        String condition = who() + ", " + parameter.name() + "=" + value;
        C changed;
        try {
            changed = schema.parse(defaults, new LinkedHashMap<>(Map.of(parameter.name(), value)));
        } catch (IllegalArgumentException e) {
            tally.expect(
                    Refusals.names(e.getMessage(), List.of(parameter.name())),
                    e.toString(),
                    "to work, or a message that names " + parameter.name(),
                    condition);
            return;
        }
        C back = schema.parse(defaults, schema.toText(changed));
        tally.expect(back.equals(changed), "" + back, "" + changed, condition);
    }

    /** The ends of a parameter's range, or its choices. */
    static List<String> limits(ParameterInfo parameter) {
        if (!parameter.choices().isEmpty()) {
            return parameter.choices();
        }
        List<String> values = new ArrayList<>();
        for (double end : new double[] {parameter.min(), parameter.max()}) {
            if (isNumber(parameter) && Double.isFinite(end)) {
                values.add(text(parameter, end));
            }
        }
        if (parameter.optional()
                && (parameter.type() == double.class || parameter.type() == String.class)) {
            values.add("");
        }
        return values;
    }

    private static List<String> beyond(ParameterInfo parameter) {
        if (!parameter.choices().isEmpty()) {
            return List.of("no-such-choice");
        }
        List<String> values = new ArrayList<>();
        if (isNumber(parameter)) {
            values.add("many");
            boolean whole = parameter.type() != double.class;
            if (Double.isFinite(parameter.min())) {
                double less = whole ? parameter.min() - 1 : Math.nextDown(parameter.min());
                values.add(text(parameter, less));
            }
            if (Double.isFinite(parameter.max())) {
                double more = whole ? parameter.max() + 1 : Math.nextUp(parameter.max());
                values.add(text(parameter, more));
            }
            if (!whole && !parameter.optional()) {
                values.add("NaN");
            }
        }
        return values;
    }

    private static boolean isNumber(ParameterInfo parameter) {
        return parameter.type() == int.class
                || parameter.type() == long.class
                || parameter.type() == double.class;
    }

    private static String text(ParameterInfo parameter, double value) {
        return parameter.type() == double.class
                ? Double.toString(value)
                : Long.toString((long) value);
    }

    // ---------------------------------------------------------------- registration

    /** Found by name, registered for the class path, and by the module if there is one. */
    void registration(Tally tally, Catalogue<? extends PluginProvider<?>> catalogue) {
        boolean found = catalogue.names().contains(provider.name());
        tally.expect(
                found && catalogue.get(provider.name()).getClass() == provider.getClass(),
                found
                        ? "another class under the name " + provider.name()
                        : "only " + catalogue.names() + " among the " + catalogue.contract() + "s",
                who() + " under the name " + provider.name(),
                "catalogue of " + catalogue.contract() + "s");
        boolean listed = servicesOnClassPath().contains(provider.getClass().getName());
        tally.expect(
                listed || provider.getClass().getModule().isNamed(),
                "no entry in META-INF/services/" + contract.getName(),
                provider.getClass().getName(),
                "class path");
        ownModule()
                .ifPresent(
                        module ->
                                tally.expect(
                                        provides(module),
                                        "module "
                                                + module.name()
                                                + " that does not provide "
                                                + provider.getClass().getName(),
                                        "provides " + contract.getName() + " with it",
                                        "module-info"));
        boolean reachable = true;
        try {
            provider.getClass().getConstructor();
        } catch (NoSuchMethodException e) {
            reachable = false;
        }
        tally.expect(
                reachable,
                "no public constructor without arguments",
                "one, for the service loader",
                who());
    }

    private Set<String> servicesOnClassPath() {
        Set<String> names = new LinkedHashSet<>();
        try {
            ClassLoader loader = provider.getClass().getClassLoader();
            for (URL url :
                    Collections.list(
                            loader.getResources("META-INF/services/" + contract.getName()))) {
                String text = new String(url.openStream().readAllBytes(), StandardCharsets.UTF_8);
                text.lines().map(line -> line.replaceAll("#.*", "").trim()).forEach(names::add);
            }
        } catch (IOException e) {
            throw new AssertionError("META-INF/services cannot be read: " + e, e);
        }
        return names;
    }

    /** The module in the place that the provider's class was loaded from, if it is one. */
    private Optional<ModuleDescriptor> ownModule() {
        CodeSource source = provider.getClass().getProtectionDomain().getCodeSource();
        if (source == null) {
            return Optional.empty();
        }
        try {
            URI place = source.getLocation().toURI();
            Stream<ModuleReference> modules = ModuleFinder.of(Path.of(place)).findAll().stream();
            return modules.filter(m -> m.location().map(l -> sameFile(l, place)).orElse(false))
                    .map(ModuleReference::descriptor)
                    .filter(m -> !m.isAutomatic())
                    .findFirst();
        } catch (URISyntaxException | java.lang.module.FindException e) {
            return Optional.empty();
        }
    }

    private static boolean sameFile(URI a, URI b) {
        return Path.of(a).equals(Path.of(b));
    }

    private boolean provides(ModuleDescriptor module) {
        return module.provides().stream()
                .anyMatch(
                        p ->
                                p.service().equals(contract.getName())
                                        && p.providers().contains(provider.getClass().getName()));
    }
}
