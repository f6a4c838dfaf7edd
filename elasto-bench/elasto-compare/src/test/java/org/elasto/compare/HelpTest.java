package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The help of every command fits a screen of 40 lines and 100 columns. */
class HelpTest {

    static List<String> commands() {
        return Main.commandLine().getSubcommands().keySet().stream().sorted().toList();
    }

    @ParameterizedTest
    @MethodSource("commands")
    void helpFitsAScreen(String command) {
        Commands.Outcome outcome = Commands.run(command, "--help");
        assertEquals(0, outcome.status(), outcome.err());
        assertTrue(outcome.out().startsWith("Usage: elasto-compare " + command), outcome.out());
        List<String> lines = outcome.out().lines().toList();
        assertTrue(lines.size() <= 40, command + " takes " + lines.size() + " lines");
        for (String line : lines) {
            assertTrue(line.length() <= 100, command + ": " + line);
        }
    }

    @org.junit.jupiter.api.Test
    void helpOfAllListsEveryCommand() {
        Commands.Outcome outcome = Commands.run();
        List<String> lines = outcome.out().lines().toList();
        assertTrue(lines.size() <= 40, outcome.out());
        assertTrue(commands().size() >= 7, commands().toString());
        for (String command : commands()) {
            assertTrue(lines.stream().anyMatch(l -> l.trim().startsWith(command)), outcome.out());
        }
    }
}
