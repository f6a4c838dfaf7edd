package org.elasto.compare;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import org.elasto.api.config.ParameterInfo;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.PluginProvider;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Lists what is installed. */
@Command(
        name = "plugins",
        description = {
            "Lists frame sources, displacement estimators, strain estimators and quality metrics,"
                    + " and the",
            "phantoms there are. With names: their parameters with default, range, unit and"
                    + " meaning, and the",
            "source of the method."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {"", Cautions.TEXT})
final class PluginsCommand implements Callable<Integer> {

    @Parameters(arity = "0..*", paramLabel = "NAME", description = "plugins to tell all about")
    private List<String> names = new ArrayList<>();

    @Option(names = "--all", description = "tell all about all of them")
    private boolean all;

    @Spec private CommandSpec spec;

    private PrintWriter out;

    @Override
    public Integer call() {
        out = spec.commandLine().getOut();
        List<Catalogue<? extends PluginProvider<?>>> catalogues =
                List.of(
                        Catalogue.frameSources(),
                        Catalogue.displacementEstimators(),
                        Catalogue.strainEstimators(),
                        Catalogue.qualityMetrics());
        List<String> known = catalogues.stream().flatMap(c -> c.names().stream()).toList();
        for (String name : names) {
            if (!known.contains(name)) {
                throw new IllegalArgumentException(
                        "there is no plugin named '"
                                + name
                                + "'; there are: "
                                + String.join(", ", known));
            }
        }
        for (Catalogue<? extends PluginProvider<?>> catalogue : catalogues) {
            list(catalogue);
        }
        if (names.isEmpty()) {
            out.println("phantoms (scenes of the frame source '" + Sources.PHANTOM + "')");
            for (String scene : Phantoms.names()) {
                out.printf("  %-26s %s%n", scene, Phantoms.summary(scene));
            }
        }
        out.flush();
        return 0;
    }

    private void list(Catalogue<? extends PluginProvider<?>> catalogue) {
        boolean heading = false;
        for (PluginProvider<?> provider : catalogue.providers()) {
            if (!names.isEmpty() && !names.contains(provider.name())) {
                continue;
            }
            if (!heading) {
                out.println(catalogue.contract() + "s");
                heading = true;
            }
            out.printf(
                    "  %-26s %s%s%n",
                    provider.name(),
                    provider.summary(),
                    provider.preferred() ? " (the default)" : "");
            if (all || !names.isEmpty()) {
                tell(provider);
            }
        }
        if (heading) {
            out.println();
        }
    }

    private <C extends Record> void tell(PluginProvider<C> provider) {
        out.println("    source: " + provider.source());
        Map<String, String> defaults = provider.schema().toText(provider.defaults());
        for (ParameterInfo parameter : provider.schema().parameters()) {
            String value = defaults.get(parameter.name());
            out.printf(
                    "    %-24s default %s; %s%n      %s%n",
                    parameter.name(),
                    value.isEmpty() || value.equals("NaN") ? "open" : value,
                    parameter.allowed(),
                    parameter.meaning());
        }
        if (defaults.isEmpty()) {
            out.println("    no parameters");
        }
    }
}
