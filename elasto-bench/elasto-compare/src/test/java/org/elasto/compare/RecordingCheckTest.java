package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class RecordingCheckTest {

    @TempDir private Path folder;

    @ParameterizedTest
    @ValueSource(doubles = {5, 20, 35})
    void noiseIsToldFromTheEcho(double snr) throws IOException {
        Phantom phantom =
                Phantoms.builder(
                                "uniform",
                                org.elasto.api.config.ConfigSchema.of(PhantomConfig.class)
                                        .parse(PhantomConfig.DEFAULTS, "frames=2"))
                        .noise(snr, 15e-3)
                        .build();
        RecordingCheck check = new RecordingCheck(phantom);
        for (int zone = 0; zone < check.zones(); zone++) {
            double decibels = 20 * Math.log10(check.noise(zone) / phantom.noiseLevel());
            assertEquals(0, decibels, 1, "zone " + zone);
        }
        assertFalse(check.saturated() && snr > 10); // strong noise may reach the range's end
        assertEquals(List.of(), check.deadLines());
    }

    /** "White noise sits 35 dB below the echo near 15 mm", says the recordings' README. */
    @Test
    void noiseOfARecordingIsWhereItsMakersSay() throws IOException {
        Path file = RecordingsTest.folder().resolve("phantom-b.h5");
        try (FrameSource source = Sources.open(file.toString(), Choice.of(""))) {
            RecordingCheck check = new RecordingCheck(source);
            double ratio = 20 * Math.log10(check.level(2) / check.noise(2)); // 10 to 15 mm
            assertEquals(35, ratio, 0.7);
        }
    }

    /** A frame of noise with a dead line and a saturated one. */
    private static final class Spoiled implements FrameSource {
        private final ScanGeometry geometry =
                ScanGeometry.linear(6, 512, 40e6, 7.5e6, 1540, 0, 3e-4, 50);

        @Override
        public String name() {
            return "spoiled";
        }

        @Override
        public ScanGeometry geometry() {
            return geometry;
        }

        @Override
        public SampleType sampleType() {
            return SampleType.INT16;
        }

        @Override
        public int frameCount() {
            return 1;
        }

        @Override
        public void read(int index, RfFrame into) {
            java.util.Random random = new java.util.Random(3);
            for (int line = 0; line < geometry.lines(); line++) {
                short[] samples = new short[geometry.samples()];
                for (int i = 0; i < samples.length; i++) {
                    double value =
                            (line == 2 ? 3 : line == 4 ? 40_000 : 1000) * random.nextGaussian();
                    samples[i] = (short) Math.max(-32768, Math.min(32767, value));
                }
                into.writeLine(line, samples, 0);
            }
        }

        @Override
        public void close() {}
    }

    @Test
    void deadAndSaturatedLinesAreFound() throws IOException {
        RecordingCheck check = new RecordingCheck(new Spoiled());
        assertEquals(List.of(2), check.deadLines());
        assertTrue(check.saturated());
        assertTrue(check.text().contains("saturated"), check.text());
        assertTrue(check.text().contains("dead lines: 2"), check.text());
    }

    @Test
    void describeTellsArraysScanAndState() throws IOException {
        Path file = folder.resolve("r.h5");
        Files.writeString(
                folder.resolve("p.toml"),
                "seed = 4\nlines = 10\nsamples = 700\nframes = 2\n[[inclusion]]\ndepth = 7e-3\n"
                        + "radius = 2e-3\nstiffness = 3\n");
        assertEquals(
                0,
                Commands.run(
                                "phantom",
                                folder.resolve("p.toml").toString(),
                                "--to",
                                file.toString())
                        .status());
        Commands.Outcome outcome = Commands.run("describe", file.toString());
        assertEquals(0, outcome.status(), outcome.err());
        for (String part :
                new String[] {
                    "/rf (2 x 10 x 700, int16)",
                    "could hold frames",
                    "r.h5: 2 frame(s) of 10 lines x 700 samples, 7.5 MHz",
                    "line_pitch_m = 3.0E-4",
                    "dead lines: none"
                }) {
            assertTrue(outcome.out().contains(part), part + " is not in " + outcome.out());
        }
    }

    /** The file's phantom and the same one built by hand have the same samples. */
    @Test
    void aPhantomFileIsWhatItSays() throws IOException {
        Path file =
                Files.writeString(
                        folder.resolve("p.toml"),
                        "scene = \"uniform\"\nseed = 9\nlines = 12\nsamples = 900\nframes = 2\n"
                                + "[[inclusion]]\nx = 1e-3\ndepth = 8e-3\nradius = 2e-3\n"
                                + "stiffness = 4\n[[bone]]\ndepth = 14e-3\n");
        try (FrameSource made = Sources.open(file.toString(), Choice.of(":snr=30"))) {
            PhantomConfig config =
                    org.elasto.api.config.ConfigSchema.of(PhantomConfig.class)
                            .parse(
                                    PhantomConfig.DEFAULTS,
                                    "seed=9,lines=12,samples=900,frames=2,snr=30");
            Phantom expected =
                    Phantoms.builder("uniform", config)
                            .inclusion(org.elasto.phantoms.Inclusion.cylinder(1e-3, 8e-3, 2e-3, 4))
                            .bone(org.elasto.phantoms.Bone.flat(14e-3))
                            .build();
            float[] one = new float[900];
            float[] two = new float[900];
            for (int line = 0; line < 12; line++) {
                made.read(1).readLine(line, one, 0);
                expected.read(1).readLine(line, two, 0);
                org.junit.jupiter.api.Assertions.assertArrayEquals(two, one);
            }
        }
        Files.writeString(
                file,
                "seed = 1\n[[inclusion]]\nshape = \"cube\"\ndepth = 1e-2\n"
                        + "radius = 1e-3\nstiffness = 2\n");
        Commands.run("describe", file.toString())
                .assertError(1, "line 3", "shape", "cylinder or sphere", "cube");
        Files.writeString(file, "frames = 2\n");
        Commands.run("describe", file.toString()).assertError(1, "seed", "whole number");
        Files.writeString(file, "seed = 1\nframes = 0\n");
        Commands.run("describe", file.toString())
                .assertError(1, file.toString(), "'frames' is '0'");
    }
}
