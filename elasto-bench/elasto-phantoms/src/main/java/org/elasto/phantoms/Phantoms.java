package org.elasto.phantoms;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.LineLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.motion.HandMotion;
import org.elasto.phantoms.motion.Layers;
import org.elasto.phantoms.motion.SlidingBlocks;

/**
 * Ready scenes by name. Inclusions are as bright as what surrounds them: the echo picture does not
 * show them. Stateless and thread-safe.
 *
 * <p>Unless a scene says otherwise: 7.5 MHz, noise 35 dB below the echo at 15 mm, and tissue that
 * is pressed for four frames and released for four, in steps of 6/7 and 8/7 of {@link
 * PhantomConfig#strainPerFrame}.
 */
public final class Phantoms {

    private static final double[] STEPS = {6, 8, 8, 6, -6, -8, -8, -6};
    private static final double PRESSING_RATE = 1.5;

    private interface Scene {
        void furnish(Phantom.Builder builder, PhantomConfig config);
    }

    /** A scene; the radius is NaN for a linear array. */
    private record Entry(String summary, double centreFrequency, double probeRadius, Scene scene) {}

    private static final Map<String, Entry> SCENES = new LinkedHashMap<>();

    static {
        add("uniform", "evenly soft tissue, pressed and released", 7.5e6, Phantoms::pressed);
        add(
                "two-stiff-inclusions",
                "stiff cylinders: 8 mm wide at 20 mm (3 x), 5 mm wide at 30 mm (4 x)",
                7.5e6,
                (builder, config) -> {
                    pressed(builder, config);
                    twoStiffInclusions(builder);
                });
        add(
                "stiff-sphere",
                "a sphere 5 x stiffer, 10 mm wide at 22 mm, cut through its middle",
                7.5e6,
                (builder, config) -> {
                    pressed(builder, config);
                    builder.inclusion(Inclusion.sphere(0, 22e-3, 5e-3, 5));
                });
        add(
                "soft-inclusion-above-bone",
                "a cylinder half as stiff, 10 mm wide at 22 mm, above a curved bone at 36 mm, 5"
                        + " MHz",
                5e6,
                (builder, config) -> {
                    pressed(builder, config);
                    builder.inclusion(Inclusion.cylinder(0, 22e-3, 5e-3, 0.5));
                    builder.bone(new Bone(36e-3, -1, 1, 80e-3, 30e-6, 20)).echoLevel(2000);
                });
        add(
                "sliding-blocks",
                "below 22 mm tissue slides sideways, 40 um a frame, under a light press",
                7.5e6,
                (builder, config) -> {
                    double[] loads = pressAndRelease(config.frames(), 1);
                    builder.press(scaled(loads, config.strainPerFrame() / 2));
                    builder.motion(
                            "sliding",
                            new SlidingBlocks(SlidingBlocks.Plane.HORIZONTAL, 22e-3),
                            scaled(loads, 40e-6));
                });
        add(
                "layers",
                "layers: above 12 mm as is, to 18 mm 3 x stiffer, to 28 mm half as stiff, then 2 x",
                7.5e6,
                (builder, config) -> {
                    pressed(builder, config);
                    builder.tissue(
                            new Layers(
                                    new double[] {12e-3, 18e-3, 28e-3},
                                    new double[] {1, 3, 0.5, 2}));
                });
        add(
                "lost-contact",
                "evenly soft tissue; air before a third of the lines in one frame, before all in"
                        + " the next",
                7.5e6,
                (builder, config) -> {
                    pressed(builder, config);
                    int middle = config.frames() / 2;
                    int third = 2 * config.lines() / 3;
                    builder.lostContact(new LostContact(middle, middle, third, Integer.MAX_VALUE));
                    builder.lostContact(LostContact.allLines(middle + 1, middle + 1));
                });
        add(
                "hand-motion",
                "the two stiff inclusions, pressed by hand: uneven cycles and a little sway",
                7.5e6,
                Phantoms::pressedByHand);
        add(
                "tiny-stiff-cylinder",
                "a cylinder 10 x stiffer, 1 mm wide at 42 mm, 10 MHz, noise 25 dB below the echo"
                        + " there",
                10e6,
                (builder, config) -> {
                    pressed(builder, config);
                    builder.inclusion(Inclusion.cylinder(0, 42e-3, 0.5e-3, 10));
                    builder.beam(42e-3, 4).noise(snr(config, 25), 42e-3);
                });
        SCENES.put(
                "convex-stiff-cylinder",
                new Entry(
                        "a cylinder 3 x stiffer, 12 mm wide at 26 mm, below a convex probe of 40 mm"
                                + " radius, 3.5 MHz",
                        3.5e6,
                        40e-3,
                        (builder, config) -> {
                            pressed(builder, config);
                            builder.inclusion(Inclusion.cylinder(0, 26e-3, 6e-3, 3));
                        }));
    }

    private Phantoms() {}

    private static void add(String name, String summary, double centreFrequency, Scene scene) {
        SCENES.put(name, new Entry(summary, centreFrequency, Double.NaN, scene));
    }

    private static ScanGeometry geometry(Entry entry, PhantomConfig config) {
        double centreFrequency =
                Double.isNaN(config.centreFrequency())
                        ? entry.centreFrequency
                        : config.centreFrequency();
        LineLayout layout =
                Double.isNaN(entry.probeRadius)
                        ? new LineLayout.Linear(config.linePitch())
                        : new LineLayout.Convex(
                                entry.probeRadius, config.linePitch() / entry.probeRadius);
        return new ScanGeometry(
                config.lines(),
                config.samples(),
                config.samplingFrequency(),
                centreFrequency,
                1540,
                0,
                layout,
                config.frameRate());
    }

    /**
     * Names of the scenes.
     *
     * @return an immutable list
     */
    public static List<String> names() {
        return List.copyOf(SCENES.keySet());
    }

    /**
     * What a scene shows.
     *
     * @param scene its name
     * @return one line
     * @throws IllegalArgumentException if there is no such scene, with the scenes there are
     */
    public static String summary(String scene) {
        return entry(scene).summary;
    }

    /**
     * A scene with everything at its default.
     *
     * @param scene its name
     * @return the phantom
     * @throws IllegalArgumentException if there is no such scene, with the scenes there are
     */
    public static Phantom of(String scene) {
        return builder(scene, PhantomConfig.DEFAULTS).build();
    }

    /**
     * A scene that can be changed further.
     *
     * @param scene its name
     * @param config what is chosen about it
     * @return a builder with the scene in it
     * @throws IllegalArgumentException if there is no such scene, with the scenes there are
     */
    public static Phantom.Builder builder(String scene, PhantomConfig config) {
        Entry entry = entry(scene);
        Phantom.Builder builder =
                Phantom.builder()
                        .name(scene)
                        .seed(config.seed())
                        .sampleType(config.sampleType())
                        .noise(snr(config, 35), 15e-3)
                        .geometry(geometry(entry, config));
        entry.scene.furnish(builder, config);
        if (config.driftPerFrame() != 0) {
            builder.drift(steady(config.frames(), config.driftPerFrame()));
        }
        if (config.replacedPerFrame() != 0) {
            builder.sliceDrift(steady(config.frames(), config.replacedPerFrame()));
        }
        return builder;
    }

    /**
     * The loads of tissue that is pressed for four frames and released for four, and so on, from
     * rest on.
     *
     * @param frames number of frames
     * @param strainPerFrame mean step; the steps are 6/7 and 8/7 of it
     * @return load of each frame, positive when pressed
     */
    public static double[] pressAndRelease(int frames, double strainPerFrame) {
        double[] loads = new double[frames];
        int sevenths = 0;
        for (int i = 1; i < frames; i++) {
            sevenths += (int) STEPS[(i - 1) % STEPS.length];
            loads[i] = sevenths * strainPerFrame / 7;
        }
        return loads;
    }

    static String noSuchScene(String scene) {
        return "there is no scene named '"
                + scene
                + "'; there are: "
                + String.join(", ", SCENES.keySet());
    }

    private static Entry entry(String scene) {
        Entry entry = SCENES.get(scene);
        if (entry == null) {
            throw new IllegalArgumentException(noSuchScene(scene));
        }
        return entry;
    }

    private static void pressed(Phantom.Builder builder, PhantomConfig config) {
        builder.press(pressAndRelease(config.frames(), config.strainPerFrame()));
    }

    private static void twoStiffInclusions(Phantom.Builder builder) {
        builder.inclusion(Inclusion.cylinder(-4e-3, 20e-3, 4e-3, 3));
        builder.inclusion(Inclusion.cylinder(9e-3, 30e-3, 2.5e-3, 4));
    }

    /** The steepest step between frames is about the chosen one. */
    private static void pressedByHand(Phantom.Builder builder, PhantomConfig config) {
        double rate = config.frameRate();
        double peak = Math.min(0.08, config.strainPerFrame() * rate / (Math.PI * PRESSING_RATE));
        HandMotion hand = new HandMotion(PRESSING_RATE, peak, 0.15, 0.1e-3, config.seed());
        builder.press(hand.strains(config.frames(), rate));
        builder.drift(hand.sways(config.frames(), rate));
        twoStiffInclusions(builder);
    }

    private static double snr(PhantomConfig config, double ofScene) {
        return Double.isNaN(config.snr()) ? ofScene : config.snr();
    }

    private static double[] scaled(double[] values, double factor) {
        double[] result = new double[values.length];
        for (int i = 0; i < values.length; i++) {
            result[i] = values[i] * factor;
        }
        return result;
    }

    private static double[] steady(int frames, double step) {
        double[] result = new double[frames];
        for (int i = 0; i < frames; i++) {
            result[i] = i * step;
        }
        return result;
    }
}
