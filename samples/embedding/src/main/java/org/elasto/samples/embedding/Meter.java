package org.elasto.samples.embedding;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.HdrHistogram.Histogram;
import org.elasto.strain.live.LiveCounters;

/** What is printed once a second. */
final class Meter {

    private final ThreadMXBean threads = ManagementFactory.getPlatformMXBean(ThreadMXBean.class);
    private final long[] watched;
    private final List<String> names = new ArrayList<>();
    private final Screen screen;
    private Histogram ages;
    private long allocated;
    private long framesIn;
    private long shown;
    private long dropped;

    /** Watches the threads whose names begin with one of the given words. */
    Meter(Screen screen, String... beginnings) {
        this.screen = screen;
        List<Long> found = new ArrayList<>();
        for (long id : threads.getAllThreadIds()) {
            var info = threads.getThreadInfo(id);
            for (String beginning : beginnings) {
                if (info != null && info.getThreadName().startsWith(beginning)) {
                    found.add(id);
                    names.add(info.getThreadName());
                }
            }
        }
        watched = found.stream().mapToLong(Long::longValue).toArray();
    }

    List<String> watched() {
        return names;
    }

    /** A line on what has happened since the last call. */
    String line(long seconds, LiveCounters counters) {
        ages = screen.ages(ages);
        long bytes = 0;
        for (long each : threads.getThreadAllocatedBytes(watched)) {
            bytes += Math.max(0, each);
        }
        long frames = counters.framesIn() - framesIn;
        String text =
                String.format(
                        Locale.ROOT,
                        "%3d s: %3d frames in, %3d shown, %3d dropped; from acquisition to screen"
                                + " %s ms (median), %s ms (99 %%); %s bytes allocated a frame",
                        seconds,
                        frames,
                        screen.shown() - shown,
                        counters.dropped() - dropped,
                        milliseconds(50),
                        milliseconds(99),
                        frames == 0 ? "-" : Math.round((double) (bytes - allocated) / frames));
        framesIn = counters.framesIn();
        shown = screen.shown();
        dropped = counters.dropped();
        allocated = bytes;
        return text;
    }

    private String milliseconds(double percentile) {
        return ages.getTotalCount() == 0
                ? "-"
                : String.format(Locale.ROOT, "%.1f", ages.getValueAtPercentile(percentile) / 1e6);
    }
}
