package org.elasto.conformance;

import java.io.IOException;
import java.util.Arrays;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.junit.jupiter.api.Test;

/**
 * What every frame source holds to. Extend it, return the provider and a location that it opens
 * with at least two frames; the checks are inherited and run with JUnit 5.
 */
public abstract class FrameSourceConformance {

    /** Words that no source should take for one of its kind. */
    private static final String NOWHERE = "/no/such/place/at-all.unheard-of";

    /** For subclasses. */
    protected FrameSourceConformance() {}

    /**
     * The provider under test.
     *
     * @return the provider
     */
    protected abstract FrameSourceProvider<?> provider();

    /**
     * What to open: small, with at least two frames.
     *
     * @return the location
     * @throws IOException if it cannot be made
     */
    protected abstract String location() throws IOException;

    /**
     * Parameters that differ from the defaults.
     *
     * @return as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}; by default
     *     none
     */
    protected String parameters() {
        return "";
    }

    /** A check that reads. */
    @FunctionalInterface
    private interface Body {
        void accept(Tally tally) throws IOException;
    }

    private void run(String check, Body body) throws IOException {
        Tally tally = new Tally(provider().name() + ", " + check);
        body.accept(tally);
        tally.finish();
    }

    private FrameSource open() throws IOException {
        return Catalogue.open(provider(), parameters(), location());
    }

    private ProviderChecks providerChecks() {
        return new ProviderChecks(provider(), FrameSourceProvider.class);
    }

    private static float[] samples(RfFrame frame) {
        ScanGeometry geometry = frame.geometry();
        float[] samples = new float[geometry.lines() * geometry.samples()];
        for (int line = 0; line < geometry.lines(); line++) {
            frame.readLine(line, samples, line * geometry.samples());
        }
        return samples;
    }

    private static void same(Tally tally, float[] expected, RfFrame frame, String condition) {
        String difference =
                Bits.difference("sample", expected, samples(frame), frame.geometry().samples());
        tally.count(expected.length);
        tally.expect(difference == null, String.valueOf(difference), "the same bits", condition);
    }

    /** The location is recognised, nonsense is not, and neither throws. */
    @Test
    public final void locationsAreRecognised() throws IOException {
        run(
                "recognition",
                tally -> {
                    tally.expect(
                            provider().recognises(location()),
                            "a location that is not recognised",
                            "recognises() to be true",
                            location());
                    for (String nonsense : new String[] {NOWHERE, "", " "}) {
                        tally.expect(
                                !provider().recognises(nonsense),
                                "nonsense that is recognised",
                                "recognises() to be false",
                                "'" + nonsense + "'");
                    }
                });
    }

    /** What is not there is refused by an IOException that names it. */
    @Test
    public final void missingLocationIsNamed() throws IOException {
        run(
                "missing location",
                tally -> {
                    Exception thrown = null;
                    try {
                        Catalogue.open(provider(), parameters(), NOWHERE).close();
                    } catch (IOException | RuntimeException e) {
                        thrown = e;
                    }
                    tally.expect(
                            thrown instanceof IOException
                                    && String.valueOf(thrown.getMessage()).contains(NOWHERE),
                            String.valueOf(thrown),
                            "an IOException that names the location",
                            NOWHERE);
                });
    }

    /** Name, geometry, sample type and number of frames are there and stay the same. */
    @Test
    public final void sourceDescribesItself() throws IOException {
        run(
                "description of the source",
                tally -> {
                    try (FrameSource source = open()) {
                        tally.expect(
                                source.name() != null && !source.name().isBlank(),
                                "name '" + source.name() + "'",
                                "a name",
                                location());
                        ScanGeometry geometry = source.geometry();
                        int frames = source.frameCount();
                        tally.atLeast("frames", frames, 2, location());
                        RfFrame frame = source.read(frames - 1);
                        tally.expect(
                                frame.geometry().equals(geometry)
                                        && source.geometry().equals(geometry)
                                        && source.frameCount() == frames
                                        && source.newFrame().sampleType() == source.sampleType(),
                                "a geometry, frame count or sample type that differs",
                                "the same before and after reading, in source and frames",
                                location());
                        tally.expect(
                                frame.index() == frames - 1,
                                "index " + frame.index(),
                                "" + (frames - 1),
                                location());
                    }
                });
    }

    /** Any order, the same frame again, two sources at once: the same bits. */
    @Test
    public final void orderOfReadingDoesNotMatter() throws IOException {
        run(
                "order of reading",
                tally -> {
                    try (FrameSource source = open();
                            FrameSource other = open()) {
                        float[] first = samples(source.read(0));
                        float[] second = samples(source.read(1));
                        tally.expect(
                                !Arrays.equals(first, second),
                                "two equal frames",
                                "frames that differ, so that an order can be told",
                                location());
                        same(tally, second, other.read(1), "frame 1 first, by another source");
                        same(tally, first, other.read(0), "frame 0 after frame 1");
                        same(tally, first, source.read(0), "frame 0 again");
                        RfFrame reused = source.newFrame();
                        source.read(1, reused);
                        source.read(0, reused);
                        same(tally, first, reused, "frame 0 into a frame that held frame 1");
                        long time = source.read(1).timeNanos() - reused.timeNanos();
                        tally.atLeast("time from frame 0 to 1 (ns)", time, 0, location());
                    }
                });
    }

    /** Frames with padding get the same samples, and the padding stays as it is. */
    @Test
    public final void paddingIsLeftAlone() throws IOException {
        run(
                "padding",
                tally -> {
                    try (FrameSource source = open()) {
                        ScanGeometry g = source.geometry();
                        float[] expected = samples(source.read(1));
                        int stride = g.samples() + 5;
                        if (source.sampleType() == SampleType.INT16) {
                            short[] memory = new short[3 + g.lines() * stride];
                            Arrays.fill(memory, (short) 12345);
                            RfFrame frame = RfFrame.of(g, memory, 3, stride);
                            source.read(1, frame);
                            same(tally, expected, frame, "INT16, stride " + stride);
                            padding(tally, i -> memory[i] == 12345, g, memory.length);
                        }
                        float[] memory = new float[3 + g.lines() * stride];
                        Arrays.fill(memory, 12345);
                        RfFrame frame = RfFrame.of(g, memory, 3, stride);
                        source.read(1, frame);
                        same(tally, expected, frame, "FLOAT32, stride " + stride);
                        padding(tally, i -> memory[i] == 12345, g, memory.length);
                    }
                });
    }

    private static void padding(
            Tally tally, java.util.function.IntPredicate untouched, ScanGeometry g, int length) {
        int stride = g.samples() + 5;
        for (int i = 0; i < length; i++) {
            boolean within = i >= 3 && (i - 3) % stride < g.samples();
            if (!within) {
                tally.expect(
                        untouched.test(i),
                        "padding at " + i + " overwritten",
                        "padding as it was",
                        "stride " + stride);
            }
        }
    }

    /** Frames that do not exist and frames of another scan are refused. */
    @Test
    public final void wrongRequestsAreRefused() throws IOException {
        run(
                "wrong requests",
                tally -> {
                    try (FrameSource source = open()) {
                        for (int index : new int[] {-1, source.frameCount()}) {
                            RuntimeException thrown = null;
                            try {
                                source.read(index, source.newFrame());
                            } catch (RuntimeException e) {
                                thrown = e;
                            }
                            tally.expect(
                                    thrown instanceof IndexOutOfBoundsException,
                                    String.valueOf(thrown),
                                    "an IndexOutOfBoundsException",
                                    "frame " + index + " of " + source.frameCount());
                        }
                        ScanGeometry g = source.geometry();
                        ScanGeometry other =
                                new ScanGeometry(
                                        g.lines() + 1,
                                        g.samples(),
                                        g.samplingFrequency(),
                                        g.centreFrequency(),
                                        g.soundSpeed(),
                                        g.firstDepth(),
                                        g.layout(),
                                        g.frameRate());
                        Refusals.expect(
                                tally,
                                "frame with a line too many",
                                () -> {
                                    try {
                                        source.read(
                                                0, RfFrame.allocate(other, source.sampleType()));
                                    } catch (IOException e) {
                                        throw new java.io.UncheckedIOException(e);
                                    }
                                },
                                g.lines() + 1,
                                g.lines());
                    }
                });
    }

    /** Name, summary, source, and what is said of each parameter. */
    @Test
    public final void providerDescribesItself() throws IOException {
        run("self-description", providerChecks()::selfDescription);
    }

    /** Config to text and back; wrong text is refused in words. */
    @Test
    public final void configSurvivesText() throws IOException {
        run("config as text", providerChecks()::parameters);
    }

    /** The service loader finds the provider on class path and module path. */
    @Test
    public final void providerIsRegistered() throws IOException {
        run(
                "registration",
                tally -> providerChecks().registration(tally, Catalogue.frameSources()));
    }
}
