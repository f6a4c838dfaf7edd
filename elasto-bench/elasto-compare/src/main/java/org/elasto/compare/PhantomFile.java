package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.ParameterInfo;
import org.elasto.phantoms.Bone;
import org.elasto.phantoms.Inclusion;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;

/**
 * A phantom described by a small text file (TOML): a ready scene, any of its parameters, and what
 * is added to it. All in SI units.
 *
 * <pre>{@code
 * name = "two cylinders above bone"
 * scene = "uniform"             # what is added to; uniform if left out
 * seed = 7                      # chooses scatterers and noise
 * frames = 6                    # this and more: parameters of the phantom, see the command plugins
 * strain-per-frame = 0.003
 *
 * [[inclusion]]
 * shape = "cylinder"            # or sphere
 * x = -5e-3
 * depth = 18e-3
 * radius = 3e-3
 * stiffness = 3                 # times that of the surroundings
 *
 * [[bone]]
 * depth = 38e-3                 # from-x, to-x, curvature-radius, roughness, brightness may follow
 *
 * [[lost-contact]]
 * first-frame = 3
 * last-frame = 3
 * first-line = 80
 * last-line = 127
 * }</pre>
 */
final class PhantomFile {

    /** Ending of such files. */
    static final String ENDING = ".toml";

    private PhantomFile() {}

    /** Whether a location is such a file. */
    static boolean recognises(String location) {
        return location.endsWith(ENDING);
    }

    /** Makes the phantom of a file; parameters given besides come before those in it. */
    static Phantom open(Path file, Map<String, String> besides, Workers workers)
            throws IOException {
        TextTable text = TextTable.read(file);
        String scene = text.text("scene", "uniform");
        String name = text.text("name", file.getFileName().toString().replace(ENDING, ""));
        ConfigSchema<PhantomConfig> schema = ConfigSchema.of(PhantomConfig.class);
        Map<String, String> values = new LinkedHashMap<>();
        for (ParameterInfo parameter : schema.parameters()) {
            if (text.has(parameter.name())) {
                values.put(parameter.name(), text.word(parameter.name()));
            }
        }
        if (!values.containsKey("seed") && !besides.containsKey("seed")) {
            throw text.wrong("seed", "a whole number that chooses scatterers and noise", null);
        }
        values.putAll(besides);
        List<TextTable> inclusions = text.tables("inclusion");
        List<TextTable> bones = text.tables("bone");
        List<TextTable> lostContacts = text.tables("lost-contact");
        text.noMore();
        try {
            Phantom.Builder builder =
                    Phantoms.builder(scene, schema.parse(PhantomConfig.DEFAULTS, values));
            builder.name(name).workers(workers);
            for (TextTable inclusion : inclusions) {
                builder.inclusion(inclusion(inclusion));
            }
            for (TextTable bone : bones) {
                builder.bone(bone(bone));
            }
            for (TextTable lost : lostContacts) {
                builder.lostContact(lostContact(lost));
            }
            return builder.build();
        } catch (IllegalArgumentException e) {
            String message = e.getMessage();
            String start = file + ": ";
            throw message.startsWith(start) ? e : new IllegalArgumentException(start + message, e);
        }
    }

    private static Inclusion inclusion(TextTable text) {
        double x = text.number("x", 0.0);
        double depth = text.number("depth", null);
        double radius = text.number("radius", null);
        double stiffness = text.number("stiffness", null);
        String shape = text.text("shape", "cylinder");
        text.noMore();
        return switch (shape) {
            case "cylinder" -> Inclusion.cylinder(x, depth, radius, stiffness);
            case "sphere" -> Inclusion.sphere(x, depth, radius, stiffness);
            default -> throw text.wrong("shape", "cylinder or sphere", shape);
        };
    }

    private static Bone bone(TextTable text) {
        Bone flat = Bone.flat(text.number("depth", null));
        Bone bone =
                new Bone(
                        flat.depth(),
                        text.number("from-x", flat.fromX()),
                        text.number("to-x", flat.toX()),
                        text.number("curvature-radius", flat.curvatureRadius()),
                        text.number("roughness", flat.roughness()),
                        text.number("brightness", flat.brightness()));
        text.noMore();
        return bone;
    }

    private static LostContact lostContact(TextTable text) {
        LostContact lost =
                new LostContact(
                        text.whole("first-frame", null),
                        text.whole("last-frame", null),
                        text.whole("first-line", 0),
                        text.whole("last-line", Integer.MAX_VALUE));
        text.noMore();
        return lost;
    }
}
