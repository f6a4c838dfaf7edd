package org.elasto.conformance;

import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.Supplier;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.ShiftedNoise;
import org.elasto.phantoms.Truth;

/** Makes scenes, and keeps the latest for the next check that asks for the same. Thread-safe. */
final class Scenes {

    /** Band of the flat-band noise over its centre. */
    static final double BANDWIDTH = 0.6;

    private static final int KEPT = 100;

    private static final Map<String, Scene> LATEST =
            new LinkedHashMap<>(16, 0.75f, true) {
                private static final long serialVersionUID = 1;

                @Override
                protected boolean removeEldestEntry(Map.Entry<String, Scene> eldest) {
                    return size() > KEPT;
                }
            };

    private Scenes() {}

    /**
     * Flat-band Gaussian noise, the second frame shifted by the same distance everywhere; lines
     * independent of each other.
     */
    static Scene noise(
            ScanGeometry geometry, double decibels, double correlation, double shift, long seed) {
        String condition =
                String.format(
                        Locale.ROOT,
                        "noise shifted by %.5g um, %.4g dB, correlation %.4g, seed %d, %s",
                        shift * 1e6,
                        decibels,
                        correlation,
                        seed,
                        Scene.describe(geometry));
        return kept(
                geometry + condition,
                () -> {
                    ShiftedNoise.Pair pair =
                            new ShiftedNoise(geometry, BANDWIDTH, amplitude(decibels), correlation)
                                    .make(shift, seed);
                    return new Scene(
                            geometry,
                            samples(pair.reference()),
                            samples(pair.moved()),
                            grid -> even(geometry, grid, shift),
                            1000,
                            condition);
                });
    }

    static double amplitude(double decibels) {
        return Math.pow(10, decibels / 20);
    }

    private static Scene.Planes even(ScanGeometry geometry, RowGrid grid, double shift) {
        float[] axial = new float[geometry.lines() * grid.rows()];
        boolean[] visible = new boolean[axial.length];
        Arrays.fill(axial, (float) shift);
        Arrays.fill(visible, true);
        return new Scene.Planes(axial, new float[axial.length], visible);
    }

    /** Frames 0 and 1 of a phantom of speckle in a linear scan. */
    static Scene phantom(
            ScanGeometry geometry, String what, long seed, Consumer<Phantom.Builder> furnish) {
        String condition = "speckle " + what + ", seed " + seed + ", " + Scene.describe(geometry);
        return kept(
                geometry + condition,
                () -> {
                    Phantom.Builder builder =
                            Phantom.builder()
                                    .geometry(geometry)
                                    .seed(seed)
                                    .sampleType(SampleType.FLOAT32);
                    furnish.accept(builder);
                    Phantom phantom = builder.build();
                    return new Scene(
                            geometry,
                            read(phantom, 0),
                            read(phantom, 1),
                            grid -> planes(phantom.truth(0, 1, grid)),
                            phantom.echoLevel(geometry.lastDepth() / 2),
                            condition);
                });
    }

    private static Scene.Planes planes(Truth truth) {
        return new Scene.Planes(truth.axial(), truth.lateral(), truth.visible());
    }

    private static Scene kept(String key, Supplier<Scene> make) {
        synchronized (LATEST) {
            Scene scene = LATEST.get(key);
            if (scene == null) {
                scene = make.get();
                LATEST.put(key, scene);
            }
            return scene;
        }
    }

    private static float[] read(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        return samples(frame);
    }

    private static float[] samples(RfFrame frame) {
        ScanGeometry geometry = frame.geometry();
        float[] samples = new float[geometry.lines() * geometry.samples()];
        for (int line = 0; line < geometry.lines(); line++) {
            frame.readLine(line, samples, line * geometry.samples());
        }
        return samples;
    }
}
