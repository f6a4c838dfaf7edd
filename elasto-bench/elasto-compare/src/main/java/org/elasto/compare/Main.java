package org.elasto.compare;

import java.io.IOException;
import java.io.InterruptedIOException;
import java.io.PrintWriter;
import java.nio.channels.ClosedByInterruptException;
import java.util.concurrent.CountDownLatch;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.IVersionProvider;
import picocli.CommandLine.ParameterException;

/**
 * The command line. Exit status 0 means done, 1 that something could not be read, written or worked
 * out, 2 that the command was not understood; errors are one line on the error stream.
 */
@Command(
        name = "elasto-compare",
        description =
                "Strain pictures of ultrasound RF recordings and phantoms, and comparisons of what"
                        + " makes them.",
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        subcommands = {
            PictureCommand.class,
            CompareCommand.class,
            AccuracyCommand.class,
            StrainFilterCommand.class,
            PluginsCommand.class,
            DescribeCommand.class,
            PhantomCommand.class,
            ExportCommand.class
        },
        footer = {"", Cautions.TEXT})
public final class Main {

    /** Exit status after an interrupt, as shells have it: 128 and the signal's number. */
    private static final int INTERRUPTED = 130;

    private Main() {}

    /**
     * Runs a command and ends the program.
     *
     * @param arguments the command line
     */
    public static void main(String[] arguments) {
        CountDownLatch finished = Interruption.watch();
        int status = run(arguments);
        finished.countDown();
        if (!Interruption.asked()) {
            System.exit(status);
        }
    }

    /**
     * Runs a command.
     *
     * @param arguments the command line
     * @return exit status
     */
    static int run(String... arguments) {
        CommandLine line = commandLine();
        line.setParameterExceptionHandler(Main::explain);
        line.setExecutionExceptionHandler(Main::explain);
        if (arguments.length == 0) {
            line.usage(line.getOut());
            return CommandLine.ExitCode.OK;
        }
        return line.execute(arguments);
    }

    /** All commands. */
    static CommandLine commandLine() {
        CommandLine line = new CommandLine(new Main());
        line.setUsageHelpWidth(100);
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
        boolean interrupted =
                problem instanceof InterruptedIOException
                        || problem instanceof ClosedByInterruptException
                        || Interruption.asked();
        if (interrupted) {
            line.getErr().println("error: " + Interruption.MESSAGE);
            return INTERRUPTED;
        }
        if (problem instanceof IOException || problem instanceof IllegalArgumentException) {
            line.getErr().println("error: " + Problems.text(problem));
            return CommandLine.ExitCode.SOFTWARE;
        }
        // Anything else is a mistake of ours: show where.
        throw problem;
    }

    /** The version that the jar was built as. */
    static final class Version implements IVersionProvider {
        @Override
        public String[] getVersion() {
            return new String[] {"elasto " + text()};
        }

        static String text() {
            String version = Main.class.getPackage().getImplementationVersion();
            return version == null ? "development" : version;
        }
    }
}
