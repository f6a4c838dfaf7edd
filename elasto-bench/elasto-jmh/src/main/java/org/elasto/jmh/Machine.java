package org.elasto.jmh;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/** The machine that measures, as far as it matters for speed. */
final class Machine {

    private Machine() {}

    static String describe() {
        return String.format(
                Locale.ROOT,
                "%s, %d processors, %.0f GiB; %s %s; Java %s, %s",
                processor(),
                Runtime.getRuntime().availableProcessors(),
                memory() / (1L << 30),
                System.getProperty("os.name"),
                System.getProperty("os.arch"),
                System.getProperty("java.version"),
                System.getProperty("java.vm.name"));
    }

    /** What else runs: mean number of runnable threads over the last minute; NaN if unknown. */
    static double load() {
        double load = ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage();
        return load < 0 ? Double.NaN : load;
    }

    private static double memory() {
        return ManagementFactory.getOperatingSystemMXBean()
                        instanceof com.sun.management.OperatingSystemMXBean bean
                ? bean.getTotalMemorySize()
                : Double.NaN;
    }

    /** Linux tells; elsewhere the architecture must do. */
    private static String processor() {
        Path file = Path.of("/proc/cpuinfo");
        try {
            if (Files.isReadable(file)) {
                for (String line : Files.readAllLines(file)) {
                    if (line.startsWith("model name")) {
                        return line.substring(line.indexOf(':') + 1).strip();
                    }
                }
            }
        } catch (IOException e) {
            return "unknown processor (" + e.getMessage() + ")";
        }
        return "unknown processor";
    }
}
