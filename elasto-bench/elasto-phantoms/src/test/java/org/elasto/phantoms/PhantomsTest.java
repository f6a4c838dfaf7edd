package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.phantoms.motion.Layers;
import org.elasto.phantoms.motion.UniformPress;
import org.junit.jupiter.api.Test;

/** Ready scenes, their provider, and what the builder refuses. */
class PhantomsTest {

    private static void refused(Runnable action, String... parts) {
        String message = assertThrows(IllegalArgumentException.class, action::run).getMessage();
        for (String part : parts) {
            assertTrue(message.contains(part), "'" + message + "' should name " + part);
        }
    }

    @Test
    void theProviderIsFoundAndOpensScenes() throws IOException {
        FrameSourceProvider<?> provider = Catalogue.frameSources().get("phantom");
        assertInstanceOf(PhantomProvider.class, provider);
        String text = "frames=3,lines=16,samples=400,seed=7,snr=20,sample-type=float32";
        try (FrameSource source = Catalogue.open(provider, text, "uniform")) {
            assertEquals("uniform", source.name());
            assertEquals(3, source.frameCount());
            assertEquals(16, source.geometry().lines());
            assertEquals(400, source.geometry().samples());
            assertEquals(SampleType.FLOAT32, source.sampleType());
            RfFrame frame = source.read(2);
            assertEquals(2, frame.index());
            assertEquals(40_000_000, frame.timeNanos());
        }
    }

    @Test
    void onlySceneNamesAreRecognised() {
        PhantomProvider provider = new PhantomProvider();
        assertTrue(
                Phantoms.names()
                        .containsAll(
                                List.of(
                                        "two-stiff-inclusions",
                                        "uniform",
                                        "stiff-sphere",
                                        "soft-inclusion-above-bone",
                                        "sliding-blocks",
                                        "layers",
                                        "lost-contact",
                                        "hand-motion",
                                        "tiny-stiff-cylinder",
                                        "convex-stiff-cylinder")));
        for (String scene : Phantoms.names()) {
            assertTrue(provider.recognises(scene));
            assertFalse(Phantoms.summary(scene).isBlank());
        }
        assertFalse(provider.recognises("uniform.mat"));
        assertFalse(provider.recognises(""));
        IOException e =
                assertThrows(
                        IOException.class, () -> provider.open(provider.defaults(), "nowhere"));
        assertTrue(
                e.getMessage().contains("'nowhere'")
                        && e.getMessage().contains("tiny-stiff-cylinder"));
        refused(() -> Phantoms.of("nowhere"), "'nowhere'", "uniform, two-stiff-inclusions");
    }

    @Test
    void everySceneRunsWithFewAndManyFrames() {
        for (String scene : Phantoms.names()) {
            for (int frames : new int[] {1, 2, 20}) {
                PhantomConfig d = PhantomConfig.DEFAULTS;
                PhantomConfig config =
                        new PhantomConfig(
                                frames,
                                d.strainPerFrame(),
                                d.snr(),
                                3,
                                8,
                                200,
                                0.3e-3,
                                40e6,
                                d.centreFrequency(),
                                50,
                                0,
                                0,
                                SampleType.INT16);
                Phantom phantom = Phantoms.builder(scene, config).build();
                assertEquals(frames, phantom.frameCount(), scene);
                phantom.read(frames - 1, phantom.newFrame());
                for (int i = 1; i < frames; i++) {
                    double step = Math.abs(phantom.pressAt(i) - phantom.pressAt(i - 1));
                    assertTrue(step < 0.0045, scene + " step " + step);
                }
            }
        }
    }

    /** The steps of recordings/phantom-a-truth.h5: 0, .3, .7, 1.1, 1.4, 1.1, .7, .3 percent. */
    @Test
    void theDefaultPressIsThatOfTheRecording() {
        double[] recorded = {0, 0.003, 0.007, 0.011, 0.014, 0.011, 0.007, 0.003};
        assertArrayEquals(recorded, Phantoms.pressAndRelease(8, 0.0035), 1e-12);
        assertEquals(0, Phantoms.pressAndRelease(9, 0.0035)[8], 0);
    }

    @Test
    void boneIsNotClippedMuch() {
        Phantom phantom = Phantoms.of("soft-inclusion-above-bone");
        float[] all = PhantomEchoTest.read(phantom, 0);
        int clipped = 0;
        float highest = 0;
        for (float v : all) {
            clipped += Math.abs(v) >= 32767 ? 1 : 0;
            highest = Math.max(highest, Math.abs(v));
        }
        assertTrue(highest > 12000, "highest " + highest);
        assertTrue(clipped < 100, "clipped " + clipped);
    }

    @Test
    void theTinyCylinderHasTheStatedNoise() {
        Phantom tiny = Phantoms.of("tiny-stiff-cylinder");
        assertEquals(25, tiny.signalToNoise(42e-3), 1e-9);
        assertEquals(10e6, tiny.geometry().centreFrequency(), 0);
        Truth truth = tiny.truth(0, 1, new RowGrid(1, 42e-3, 1e-3));
        // 2 / (1 + 10) of the strain far away; frame 0 is at rest.
        assertEquals(-0.003 * 2 / 11, truth.axialStrain()[64], 1e-8);
    }

    @Test
    void badInputIsRefused() {
        Phantom.Builder b = Phantom.builder();
        refused(() -> b.bandwidth(2), "fractional bandwidth is 2.0", "0.9");
        refused(() -> b.scatterersPerCell(0), "scatterers per cell");
        refused(() -> b.beam(0, 2), "focus depth");
        refused(() -> b.beam(0.02, Double.NaN), "F-number");
        refused(() -> b.attenuation(-1, 0), "attenuation");
        refused(() -> b.noise(Double.NaN, 0.01), "signal-to-noise");
        refused(() -> b.echoLevel(1e9), "echo level");
        refused(() -> b.press(0, 0.5), "strain of frame 1 is 0.5");
        refused(() -> b.press(), "press has no frames");
        refused(() -> b.drift(0, Double.NaN), "drift", "frame 1");
        refused(
                () -> Phantom.builder().press(0, 0.1).drift(0, 0, 0),
                "drift gives 3 frames",
                "press gave 2");
        refused(
                () ->
                        Phantom.builder()
                                .geometry(
                                        ScanGeometry.convex(
                                                8, 100, 40e6, 5e6, 1540, 0, 0.05, 0.01, 50))
                                .bone(Bone.flat(0.02))
                                .build(),
                "linear arrays only");
        refused(
                () ->
                        Phantom.builder()
                                .geometry(
                                        ScanGeometry.linear(
                                                8, 100, 20e6, 7.5e6, 1540, 0, 0.3e-3, 50))
                                .build(),
                "sampling frequency of 2.000e+07 Hz is too low");
        refused(
                () ->
                        Phantom.builder()
                                .inclusion(Inclusion.sphere(0, 0.02, 0.005, 3))
                                .inclusion(Inclusion.cylinder(0, 0.03, 0.002, 3))
                                .build(),
                "cylinders and spheres");
        refused(
                () ->
                        Phantom.builder()
                                .inclusion(Inclusion.sphere(0, 0.02, 0.005, 3))
                                .tissue(UniformPress.planeStrain())
                                .build(),
                "lateral share of 0.5");
        refused(
                () ->
                        Phantom.builder()
                                .inclusion(Inclusion.cylinder(0, 0.02, 0.005, 3))
                                .tissue(new Layers(new double[] {0.01}, new double[] {1, 2}))
                                .build(),
                "even press");
        refused(() -> Phantom.builder().drift(0, 1e3).build(), "would need", "at most 20000000");
        refused(() -> new LostContact(3, 2, 0, 0), "last frame without contact is 2");
        refused(() -> new Bone(0.02, 1, -1, 1, 0, 20), "end beyond its begin");
        refused(() -> Inclusion.cylinder(0, 0.02, -1, 3), "radius of the cylinder");
        refused(
                () -> new Inclusion(Inclusion.Shape.CYLINDER, 0, 0.02, 0.001, 3, 0.001),
                "plane offset of a cylinder");
    }

    @Test
    void badReadsAreRefused() {
        ScanGeometry g = ScanGeometry.linear(8, 100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        Phantom phantom = Phantom.builder().geometry(g).sampleType(SampleType.FLOAT32).build();
        RowGrid grid = new RowGrid(3, 0, 1e-3);
        assertThrows(IndexOutOfBoundsException.class, () -> phantom.read(1, phantom.newFrame()));
        assertThrows(IndexOutOfBoundsException.class, () -> phantom.read(-1, phantom.newFrame()));
        assertThrows(IndexOutOfBoundsException.class, () -> phantom.truth(0, 1, grid));
        assertThrows(IndexOutOfBoundsException.class, () -> phantom.pressAt(1));
        refused(() -> phantom.read(0, RfFrame.allocate(g, SampleType.INT16)), "INT16", "FLOAT32");
        ScanGeometry other = ScanGeometry.linear(9, 100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        refused(() -> phantom.read(0, RfFrame.allocate(other, SampleType.FLOAT32)), "geometry");
    }
}
