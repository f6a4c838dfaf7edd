package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.File;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/** Runs commands, in this Java machine or in one of their own. */
final class Commands {

    private Commands() {}

    /** How a command ended and what it said. */
    record Outcome(int status, String out, String err) {

        /** Asserts that the command failed with one line that mentions all of some texts. */
        void assertError(int expected, String... mentions) {
            assertEquals(expected, status, err);
            String line =
                    err.lines()
                            .filter(l -> l.startsWith("error: "))
                            .findFirst()
                            .orElseThrow(() -> new AssertionError("no error line: " + err));
            for (String mention : mentions) {
                assertTrue(line.contains(mention), "'" + mention + "' is not in: " + line);
            }
            assertFalse(err.contains("\tat "), err);
        }
    }

    static Outcome run(String... arguments) {
        PrintStream oldOut = System.out;
        PrintStream oldErr = System.err;
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        System.setErr(new PrintStream(err, true, StandardCharsets.UTF_8));
        try {
            int status = Main.run(arguments);
            return new Outcome(
                    status,
                    out.toString(StandardCharsets.UTF_8),
                    err.toString(StandardCharsets.UTF_8));
        } finally {
            System.setOut(oldOut);
            System.setErr(oldErr);
        }
    }

    /** The command line of a command in a Java machine of its own. */
    static List<String> line(String... arguments) {
        List<String> line = new ArrayList<>();
        line.add(
                System.getProperty("java.home") + File.separator + "bin" + File.separator + "java");
        line.addAll(List.of("-Xmx1g", "-Djava.awt.headless=true", "-cp"));
        line.add(System.getProperty("java.class.path"));
        line.add(Main.class.getName());
        line.addAll(List.of(arguments));
        return line;
    }

    /** Names of what is in a folder, hidden things included. */
    static List<String> names(Path folder) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(p -> p.getFileName().toString()).sorted().toList();
        }
    }
}
