package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Small comparisons to test with. */
final class ComparisonFolder {

    /** A phantom that takes some ten milliseconds. */
    static final String SOURCE =
            """
            [[source]]
            location = "two-stiff-inclusions"
            seeds = [3]
            parameters = { lines = 24, samples = 1300, frames = 3, line-pitch = 1e-3 }
            """;

    static final String ESTIMATORS =
            """
            [[estimator]]
            name = "coarse-to-fine-phase"
            [[estimator]]
            name = "cross-correlation"
            [[strain]]
            name = "least-squares-line"
            """;

    private final Path folder;

    ComparisonFolder(Path folder) {
        this.folder = folder;
    }

    Path out() {
        return folder.resolve("out");
    }

    Path write(String text) throws IOException {
        return Files.writeString(folder.resolve("comparison.toml"), text);
    }

    Commands.Outcome compare(String text, String... options) throws IOException {
        String[] arguments = new String[options.length + 4];
        arguments[0] = "compare";
        arguments[1] = write(text).toString();
        arguments[2] = "--to";
        arguments[3] = out().toString();
        System.arraycopy(options, 0, arguments, 4, options.length);
        return Commands.run(arguments);
    }
}
