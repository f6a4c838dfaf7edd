package org.elasto.samples.live;

import java.util.Map;

/** What the command line says. */
record Options(
        String source, String sourceParameters, Choice choice, int width, int height, int seconds) {

    static final Options DEFAULTS =
            new Options(Feed.SCENES.get(0), "", Choice.preferred(), 1280, 800, 0);

    static final String USAGE =
            """
            live-view [SOURCE] [--estimator=NAME] [--size=WIDTHxHEIGHT] [--seconds=N]
                SOURCE       a recording (MAT-file, HDF5), or a phantom under a simulated hand:
                             %s
                --estimator  displacement estimator to begin with
                --phantom    changes to the phantom, such as lines=64,samples=1200
                --size       of the window
                --seconds    close after so many, and print what was shown
            """
                    .formatted(String.join(", ", Feed.SCENES));

    /**
     * Reads a command line.
     *
     * @throws IllegalArgumentException if it cannot be understood
     */
    static Options parse(String... arguments) {
        Options o = DEFAULTS;
        for (String argument : arguments) {
            int equals = argument.indexOf('=');
            String value = argument.substring(equals + 1);
            String key = equals < 0 ? argument : argument.substring(0, equals);
            if (!argument.startsWith("--")) {
                o =
                        new Options(
                                argument,
                                o.sourceParameters,
                                o.choice,
                                o.width,
                                o.height,
                                o.seconds);
                continue;
            }
            switch (key) {
                case "--estimator" ->
                        o =
                                new Options(
                                        o.source,
                                        o.sourceParameters,
                                        o.choice.withTracker(value, Map.of()),
                                        o.width,
                                        o.height,
                                        o.seconds);
                case "--phantom" ->
                        o = new Options(o.source, value, o.choice, o.width, o.height, o.seconds);
                case "--size" -> {
                    String[] sides = value.split("x");
                    o =
                            new Options(
                                    o.source,
                                    o.sourceParameters,
                                    o.choice,
                                    number(key, sides[0]),
                                    number(key, sides[sides.length - 1]),
                                    o.seconds);
                }
                case "--seconds" ->
                        o =
                                new Options(
                                        o.source,
                                        o.sourceParameters,
                                        o.choice,
                                        o.width,
                                        o.height,
                                        number(key, value));
                default -> throw new IllegalArgumentException("unknown option " + argument);
            }
        }
        return o;
    }

    private static int number(String key, String text) {
        try {
            return Integer.parseInt(text);
        } catch (NumberFormatException e) {
            throw new IllegalArgumentException(key + " is '" + text + "'; it must be a number", e);
        }
    }
}
