package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Every mistake is one line that says what to do, and leaves nothing half-written. */
class ErrorsTest {

    private static final String SMALL = ComparisonFolder.SOURCE + ComparisonFolder.ESTIMATORS;

    @TempDir private Path folder;

    @ParameterizedTest
    @ValueSource(
            strings = {
                // what stands in the file | what is put instead | parts of the message
                "cross-correlation|best-of-all|line 8|best-of-all|dynamic-programming",
                "least-squares-line|best-slope|best-slope|least-squares-line",
                "two-stiff-inclusions|no-such-scene|seeds|recording has none",
                "seeds = [3]|pictures = true|[[source]] number 1|seeds|[1, 2]",
                "[[strain]]|[[stain]]|stain|source, strain",
                "name = \"least-squares-line\"|name = \"least-squares-line\"\nwindow = 3|window",
                "name = \"cross-correlation\"|name = \"cross-correlation\"\nparameters ="
                        + " {window-length = 3}|'window-length' is '3' m|from 2.0E-4",
                "name = \"cross-correlation\"|name = \"cross-correlation\"\nparameters ="
                        + " {window = 1}|unknown parameter 'window'|window-length",
                "name = \"cross-correlation\"|name = \"cross-correlation|line 8, column",
                "name = \"cross-correlation\"|name = 3|expected a text in quotation marks",
                "name = \"cross-correlation\"|name = \"coarse-to-fine-phase\"|two of"
                        + " [[estimator]]|label",
                "[[source]]|shown-pair = 1.5\n[[source]]|shown-pair|whole number|1.5",
                "[[source]]|look = {colours = \"pink\"}\n[[source]]|colours|cubehelix",
                "lines = 24|lines = 24.5|lines",
            })
    void mistakesInAComparisonAreFoundBeforeAnythingIsDone(String change) throws IOException {
        String[] parts = change.split("\\|");
        assertTrue(SMALL.contains(parts[0]), parts[0]);
        ComparisonFolder comparison = new ComparisonFolder(folder);
        int last = SMALL.lastIndexOf(parts[0]);
        String text =
                parts[0].equals("[[source]]")
                        ? SMALL.replace(parts[0], parts[1])
                        : SMALL.substring(0, last)
                                + parts[1]
                                + SMALL.substring(last + parts[0].length());
        Commands.Outcome outcome = comparison.compare(text);
        List<String> mentions = new ArrayList<>(List.of(parts).subList(2, parts.length));
        outcome.assertError(1, mentions.toArray(String[]::new));
        assertEquals(1, outcome.err().lines().filter(l -> l.startsWith("error")).count());
    }

    @Test
    void missingFilesAreNamed() {
        String missing = folder.resolve("missing").toString();
        for (String command : new String[] {"compare", "export"}) {
            Commands.run(command, missing + ".x").assertError(1, missing, "no such file");
        }
        for (String command : new String[] {"describe", "picture"}) {
            Commands.run(command, missing).assertError(1, missing, "neither a file nor a phantom");
        }
        Commands.run("phantom", missing + ".toml").assertError(1, missing, "no such file");
        Commands.run("phantom", missing).assertError(1, "no scene named", "two-stiff-inclusions");
        Commands.run("plugins", "magic").assertError(1, "'magic'", "cross-correlation");
        Commands.run("compare").assertError(2, "FILE");
    }

    @Test
    void wrongArraysAndFilesAreNamed() throws IOException {
        Path recording = folder.resolve("r.h5");
        small(recording);
        Commands.run("describe", recording.toString(), "--source", ":array-name=echoes")
                .assertError(1, "echoes", "/rf");
        Commands.run("describe", recording.toString(), "--source", ":axis-order=sideways")
                .assertError(1, "axis-order", "samples-lines-frames");
        Commands.run("export", recording.toString()).assertError(1, recording.toString());
        Path folderName = Files.createDirectory(folder.resolve("a-folder"));
        Commands.run("compare", folderName.toString()).assertError(1, "found a folder");
        Path bytes = Files.write(folder.resolve("bytes.toml"), new byte[] {(byte) 0xff, 0, 1});
        Commands.run("compare", bytes.toString()).assertError(1, bytes.toString());
    }

    private static Commands.Outcome small(Path recording) {
        return Commands.run(
                "phantom",
                "uniform",
                "--set",
                "lines=8,samples=400,frames=3",
                "--to",
                recording.toString());
    }

    @Test
    void foldersThatCannotBeWrittenToAreNamed() throws IOException {
        Path file = Files.writeString(folder.resolve("file"), "kept");
        Path comparison = Files.writeString(folder.resolve("c.toml"), SMALL);
        Commands.run("compare", comparison.toString(), "--to", file.toString())
                .assertError(1, "is a file", "--to");
        Commands.run("picture", "uniform", "--to", file.toString())
                .assertError(1, "is a file", "--to");
        assertEquals("kept", Files.readString(file));
        Path nowhere = folder.resolve("no/folder/r.h5");
        small(nowhere).assertError(1, "no folder", nowhere.getParent().toString());
        // Nobody can make folders there, whoever runs the test.
        Path proc = Path.of("/proc/elasto");
        Assumptions.assumeTrue(Files.isDirectory(proc.getParent()), "no /proc here");
        Commands.run("compare", comparison.toString(), "--to", proc.toString())
                .assertError(1, proc.toString(), "cannot be written to", "--to");
    }

    @Test
    void aFileThatCannotBeFinishedLeavesNothingBehind() throws IOException {
        Path kept = Files.writeString(folder.resolve("kept.txt"), "before");
        IOException full =
                assertThrows(
                        IOException.class,
                        () ->
                                WholeFile.write(
                                        kept,
                                        out -> {
                                            out.write(new byte[100_000]);
                                            throw new IOException("No space left on device");
                                        }));
        String text = Problems.text(full);
        assertTrue(text.contains("free some space"), text);
        assertEquals("before", Files.readString(kept));
        assertEquals(List.of("kept.txt"), Commands.names(folder));
        String denied = Problems.text(new AccessDeniedException("/some/where"));
        assertTrue(denied.startsWith("/some/where: access denied; change"), denied);
    }

    /**
     * The disk is full part-way: the shell's limit for the size of files makes writing fail as a
     * full disk does, after some of the file has been written.
     */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "phantom uniform --set lines=64,samples=1000,frames=3 --to OUT/r.h5",
                "picture uniform --source :lines=64,samples=1000,frames=3 --to OUT",
                "compare IN/c.toml --to OUT",
                "export IN/results.h5 --to OUT"
            })
    void aFullDiskLeavesNothingHalfWritten(String command)
            throws IOException, InterruptedException {
        Path bash = Path.of("/bin/bash");
        Assumptions.assumeTrue(Files.isExecutable(bash), "no bash here");
        Path in = Files.createDirectory(folder.resolve("in"));
        Path out = Files.createDirectory(folder.resolve("out"));
        Files.writeString(in.resolve("c.toml"), SMALL);
        if (command.startsWith("export")) {
            String[] picture = {
                "picture", "uniform", "--source", ":lines=64,frames=3", "--to", in.toString()
            };
            assertEquals(0, Commands.run(picture).status());
        }
        String[] words =
                command.replace("OUT", out.toString()).replace("IN", in.toString()).split(" ");
        List<String> line = new ArrayList<>(List.of(bash.toString(), "-c"));
        line.add("ulimit -f 20; exec \"$@\"");
        line.add("bash");
        line.addAll(Commands.line(words));
        line.add(line.size() - words.length - 1, "-XX:-UsePerfData"); // a file of the machine's own
        Commands.Outcome outcome = OutsideTools.run(line);
        outcome.assertError(1, "free some space", "--to");
        for (String name : Commands.names(out)) {
            boolean empty = List.of("cases", "sources").contains(name);
            assertTrue(empty || name.endsWith(".npy"), name + " was left");
            if (empty) {
                assertEquals(List.of(), Commands.names(out.resolve(name)));
            } else {
                // What had been finished before is whole.
                assertFalse(name.startsWith("."), name);
                assertTrue(Files.size(out.resolve(name)) > 128, name);
            }
        }
    }
}
