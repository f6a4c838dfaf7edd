package org.elasto.tracking.shared;

import org.elasto.api.DisplacementField;

/**
 * Tells where next to nothing comes back: behind bone, in air, in the dark of a shadow. What little
 * is received there comes by detours, and moves as whatever sent it, so that a good match means
 * nothing.
 *
 * <p>A place is below the floor when the energy of its window is more than 30 dB under the upper
 * quartile of the frame. That soft tissue stays within about 30 dB once the gain over depth is set,
 * and bone sends nearly everything back, is common practice, no source.
 *
 * <p>One thread at a time, but energies of different places from several. A call allocates nothing.
 */
public final class EchoFloor {

    private static final float RATIO = 1e-3f;

    private final float[] energy;
    private final float[] sample;
    private float least;

    /**
     * Makes a floor for a plane.
     *
     * @param size number of places
     */
    public EchoFloor(int size) {
        this(size, 4096);
    }

    /**
     * Makes a floor for a plane from some of its places.
     *
     * @param size number of places
     * @param sampled among how many of them the upper quartile is sought, at most
     */
    public EchoFloor(int size, int sampled) {
        energy = new float[size];
        sample = new float[Math.min(size, sampled)];
    }

    /**
     * Notes the energy of a place.
     *
     * @param at index of the place
     * @param value energy of its window
     */
    public void set(int at, float value) {
        energy[at] = value;
    }

    /**
     * The energies, to be set many at a time.
     *
     * @return the floor's own array, in the order of the places
     */
    public float[] energy() {
        return energy;
    }

    /**
     * Marks all places below the floor as unknown.
     *
     * @param field the field, in the order of the places
     */
    public void apply(DisplacementField field) {
        find();
        apply(field, 0, energy.length);
    }

    /**
     * Finds the floor once all energies are known, before {@link #apply(DisplacementField, int,
     * int)}.
     */
    public void find() {
        for (int i = 0; i < sample.length; i++) {
            sample[i] = energy[(int) ((long) i * energy.length / sample.length)];
        }
        least = RATIO * Selection.select(sample, sample.length, (3 * sample.length) / 4);
    }

    /**
     * Marks some places below the floor that was found as unknown; several threads may do so for
     * different places.
     *
     * @param field the field, in the order of the places
     * @param from the first place
     * @param end the place behind the last
     */
    public void apply(DisplacementField field, int from, int end) {
        for (int i = from; i < end; i++) {
            if (!(energy[i] >= least) || energy[i] == 0) {
                field.markUnknown(i);
            }
        }
    }
}
