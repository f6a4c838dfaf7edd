package org.elasto.samples.embedding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.elasto.api.config.ConfigSchema;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.live.LiveCounters;
import org.junit.jupiter.api.Test;

class ScannerSoftwareTest {

    private static final Path SOURCE =
            Path.of("src/main/java/org/elasto/samples/embedding/StrainImaging.java");

    /** A small scan, so that any machine keeps up. */
    private static final PhantomConfig SMALL =
            ConfigSchema.of(PhantomConfig.class)
                    .parse(PhantomConfig.DEFAULTS, "lines=32,samples=1200");

    @Test
    void strainImagingIsAddedInFewerThanSixtyLines() throws IOException {
        List<String> lines = Files.readAllLines(SOURCE);
        int begin = lines.indexOf("// Strain imaging begins here.");
        int end = lines.indexOf("// Strain imaging ends here.");
        assertTrue(begin >= 0 && end > begin, "marks");
        long code =
                lines.subList(begin + 1, end).stream()
                        .filter(line -> !line.isBlank() && !line.strip().startsWith("/**"))
                        .count();
        assertTrue(code > 20 && code < 60, "lines of code: " + code);
    }

    @Test
    void printsALineForEverySecondAndAccountsForEveryFrame() throws Exception {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        ScannerSoftware.run(
                SMALL, 2, "coarse-to-fine-phase", "", new PrintStream(bytes, true, "UTF-8"));
        String text = bytes.toString(StandardCharsets.UTF_8);
        Pattern second =
                Pattern.compile(
                        " *(\\d+) s: +(\\d+) frames in, +(\\d+) shown, +(\\d+) dropped; from"
                                + " acquisition to screen (\\S+) ms \\(median\\), (\\S+) ms"
                                + " \\(99 %\\); (\\d+) bytes allocated a frame");
        Matcher matcher = second.matcher(text);
        int lines = 0;
        long in = 0;
        long shown = 0;
        while (matcher.find()) {
            lines++;
            assertEquals(lines, Integer.parseInt(matcher.group(1)));
            in += Long.parseLong(matcher.group(2));
            shown += Long.parseLong(matcher.group(3));
        }
        assertEquals(2, lines, text);
        assertTrue(in > 0 && shown > 0 && shown <= in, text);
        assertTrue(text.contains("elasto live session") && text.contains("calculation 1"), text);
    }

    /** An executor that never gets round to helping leaves the work to the session's own thread. */
    @Test
    void everyAcquiredFrameIsAccountedForEvenIfTheExecutorIsBusy() throws Exception {
        AtomicLong asked = new AtomicLong();
        Executor executor = task -> asked.incrementAndGet();
        try (AcquisitionCard card =
                        new AcquisitionCard(
                                Phantoms.builder("two-stiff-inclusions", SMALL).build());
                StrainImaging strain =
                        new StrainImaging(card, executor, "coarse-to-fine-phase", "");
                Screen screen = new Screen()) {
            screen.start(strain);
            card.start(strain);
            while (card.acquired() < 12) {
                Thread.sleep(5);
            }
            card.stop();
            LiveCounters counters = strain.counters();
            while (counters.waiting() > 0) {
                Thread.sleep(5);
                counters = strain.counters();
            }
            assertEquals(card.acquired(), counters.framesIn());
            assertEquals(
                    counters.framesIn(),
                    counters.dropped() + counters.refusedInAll() + counters.compared());
            assertTrue(counters.compared() > 0, counters.toString());
            assertEquals(0, counters.failures());
            assertTrue(asked.get() > 0, "the executor was asked");
        }
    }
}
