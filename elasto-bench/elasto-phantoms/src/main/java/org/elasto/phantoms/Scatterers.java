package org.elasto.phantoms;

import java.util.Arrays;
import java.util.Locale;

/**
 * Point scatterers in strips of rising x, so that a block of lines needs to look at few of them.
 * Places at rest in double. Immutable once made.
 *
 * <p>First come those of the tissue: random places, amplitudes +1 or -1, which of all laws gives
 * fully developed speckle with the fewest. Those of bones follow, in strips of their own.
 */
final class Scatterers {

    private static final int MOST = 20_000_000;
    private static final long PLACES = 0x50;
    private static final long AMPLITUDES = 0x51;
    private static final long PHASES = 0x52;
    private static final long LATER_AMPLITUDES = 0x53;

    private final long seed;
    private final int tissueCount;
    final double[] x;
    final double[] z;
    final float[] amplitude;

    /** First scatterer of each strip; one more entry than strips. */
    final int[] stripStart;

    private Scatterers(
            long seed, int tissueCount, double[] x, double[] z, float[] amplitude, int[] strips) {
        this.seed = seed;
        this.tissueCount = tissueCount;
        this.x = x;
        this.z = z;
        this.amplitude = amplitude;
        this.stripStart = strips;
    }

    /** Tissue of a given number of scatterers per square metre over a rectangle. */
    static Scatterers tissue(
            long seed, double density, double[] xRange, double[] zRange, double stripWidth) {
        double across = xRange[1] - xRange[0];
        double total = density * across * (zRange[1] - zRange[0]);
        if (!(total <= MOST)) {
            throw new IllegalArgumentException(
                    String.format(
                            Locale.ROOT,
                            "the phantom would need %.3g scatterers, for tissue from x = %.4g to"
                                    + " %.4g m and z = %.4g to %.4g m; at most %d are allowed: make"
                                    + " the frame, the motion or the scatterer density smaller",
                            total,
                            xRange[0],
                            xRange[1],
                            zRange[0],
                            zRange[1],
                            MOST));
        }
        int strips = Math.max(1, (int) Math.ceil(across / stripWidth));
        int[] start = new int[strips + 1];
        for (int k = 1; k <= strips; k++) {
            start[k] = (int) Math.round(total * k / strips);
        }
        int count = start[strips];
        double[] x = new double[count];
        double[] z = new double[count];
        float[] amplitude = new float[count];
        RandomStream random = new RandomStream(RandomStream.key(seed, PLACES, 0));
        for (int k = 0; k < strips; k++) {
            for (int s = start[k]; s < start[k + 1]; s++) {
                x[s] = xRange[0] + (k + random.uniform()) * across / strips;
                z[s] = zRange[0] + (zRange[1] - zRange[0]) * random.uniform();
            }
            // Neighbours in depth one after the other: rendering stays within the cache.
            Arrays.sort(z, start[k], start[k + 1]);
        }
        random.restart(RandomStream.key(seed, AMPLITUDES, 0));
        for (int s = 0; s < count; s++) {
            amplitude[s] = random.uniform() < 0.5 ? -1 : 1;
        }
        return new Scatterers(seed, count, x, z, amplitude, start);
    }

    /** The same with a bone in it: scatterers along its surface, and silence beyond. */
    Scatterers with(BoneSurface bone, double spacing, float strength, double[] xRange) {
        double first = Math.max(xRange[0], bone.bone().fromX());
        double last = Math.min(xRange[1], bone.bone().toX());
        int more = Math.max(0, (int) Math.floor((last - first) / spacing));
        int count = x.length;
        double[] newX = Arrays.copyOf(x, count + more);
        double[] newZ = Arrays.copyOf(z, count + more);
        float[] newAmplitude = Arrays.copyOf(amplitude, count + more);
        for (int s = 0; s < count; s++) {
            if (z[s] > bone.depth(x[s])) {
                newAmplitude[s] = 0;
            }
        }
        for (int i = 0; i < more; i++) {
            newX[count + i] = first + (i + 0.5) * spacing;
            newZ[count + i] = bone.depth(newX[count + i]);
            newAmplitude[count + i] = strength;
        }
        int perStrip = 64;
        int strips = stripStart.length - 1;
        int added = (more + perStrip - 1) / perStrip;
        int[] newStart = Arrays.copyOf(stripStart, strips + added + 1);
        for (int k = 1; k <= added; k++) {
            newStart[strips + k] = count + Math.min(more, k * perStrip);
        }
        return new Scatterers(seed, tissueCount, newX, newZ, newAmplitude, newStart);
    }

    int count() {
        return x.length;
    }

    int tissueCount() {
        return tissueCount;
    }

    int strips() {
        return stripStart.length - 1;
    }

    /**
     * Amplitude of a scatterer when the slice has moved across by a part of its thickness: each
     * scatterer leaves at a place of its own, and an independent one comes in for it. Bone reaches
     * through the slice and stays.
     */
    float amplitude(int s, double slicePosition, RandomStream workspace) {
        float atRest = amplitude[s];
        if (slicePosition == 0 || s >= tissueCount || atRest == 0) {
            return atRest;
        }
        double offset = (RandomStream.key(seed, PHASES, s) >>> 11) * 0x1.0p-53;
        long generation = (long) Math.floor(slicePosition + offset);
        if (generation == 0) {
            return atRest;
        }
        workspace.restart(
                RandomStream.key(RandomStream.key(seed, LATER_AMPLITUDES, s), generation, 0));
        return workspace.uniform() < 0.5 ? -1 : 1;
    }
}
