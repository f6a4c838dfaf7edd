package org.elasto.jmh;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.Objects;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.ParameterException;

/**
 * The command line. Exit status 0 means done, 1 that something could not be read, written or
 * measured, 2 that the command was not understood, 3 that {@code compare} found something slower;
 * errors are one line on the error stream.
 */
@Command(
        name = "elasto-jmh",
        description = "Measures how long strain imaging takes, and compares two measurements.",
        mixinStandardHelpOptions = true,
        version = "elasto-jmh of elasto",
        subcommands = {RunCommand.class, CompareCommand.class, LatencyCommand.class})
public final class Main {

    private Main() {}

    /**
     * Runs a command and ends the program.
     *
     * @param arguments the command line
     */
    public static void main(String[] arguments) {
        System.exit(run(arguments));
    }

    static int run(String... arguments) {
        return line().execute(arguments.length == 0 ? new String[] {"--help"} : arguments);
    }

    static CommandLine line() {
        CommandLine line = new CommandLine(new Main());
        line.setUsageHelpWidth(100);
        line.setParameterExceptionHandler(Main::explain);
        line.setExecutionExceptionHandler(Main::explain);
        return line;
    }

    private static int explain(ParameterException problem, String[] arguments) {
        CommandLine line = problem.getCommandLine();
        PrintWriter err = line.getErr();
        err.println("error: " + problem.getMessage());
        err.println("'" + line.getCommandSpec().qualifiedName() + " --help' lists what there is");
        return CommandLine.ExitCode.USAGE;
    }

    private static int explain(
            Exception problem, CommandLine line, CommandLine.ParseResult arguments)
            throws Exception {
        if (problem instanceof IOException || problem instanceof IllegalArgumentException) {
            String message =
                    Objects.requireNonNullElse(
                            problem.getMessage(), problem.getClass().getSimpleName());
            line.getErr().println("error: " + message);
            return CommandLine.ExitCode.SOFTWARE;
        }
        // Anything else is a mistake of ours: show where.
        throw problem;
    }
}
