package org.elasto.phantoms.motion;

import java.util.SplittableRandom;
import org.elasto.api.Check;

/**
 * How a hand presses: slow, nearly regular cycles of press and release, and a little sideways sway.
 * A function of time made of a few sinusoids with seeded phases; smooth, 0 at time 0, and the same
 * whenever it is asked. Immutable and thread-safe.
 *
 * <p>Strain is {@code peak (1 - cos phase) / 2 (1 + irregularity m(t))} with a phase that runs at
 * the pressing rate and wanders by up to {@code irregularity} radians; common practice, no source.
 */
public final class HandMotion {

    /** Wander is made of these multiples of the pressing rate: slower than it, and unrelated. */
    private static final double[] SLOW = {0.137, 0.311, 0.473};

    private final double rate;
    private final double peakStrain;
    private final double irregularity;
    private final double sway;
    private final double[] phases = new double[3 * SLOW.length];

    /**
     * Makes a motion.
     *
     * @param rate cycles of press and release a second (Hz), up to 10; 1 to 2 is common
     * @param peakStrain strain when fully pressed, 0 to 0.2
     * @param irregularity how much height and timing of the presses vary, 0 to 0.5
     * @param sway how far the hand sways sideways (m), at most 0.01
     * @param seed chooses the variation
     */
    public HandMotion(double rate, double peakStrain, double irregularity, double sway, long seed) {
        this.rate =
                Check.range(
                        "pressing rate", Check.positive("pressing rate", rate, "Hz"), 0, 10, "Hz");
        this.peakStrain = Check.range("peak strain", peakStrain, 0, 0.2, "");
        this.irregularity = Check.range("irregularity", irregularity, 0, 0.5, "");
        this.sway = Check.range("sway", sway, 0, 0.01, "m");
        SplittableRandom random = new SplittableRandom(seed);
        for (int i = 0; i < phases.length; i++) {
            phases[i] = 2 * Math.PI * random.nextDouble();
        }
    }

    /**
     * Strain at a time.
     *
     * @param seconds time (s)
     * @return strain, positive when pressed, the load of a press
     */
    public double strainAt(double seconds) {
        double phase =
                2 * Math.PI * rate * seconds + irregularity * (wander(0, seconds) - wander(0, 0));
        double height = 1 + irregularity * wander(1, seconds);
        return peakStrain * height * (1 - Math.cos(phase)) / 2;
    }

    /**
     * Sideways displacement at a time.
     *
     * @param seconds time (s)
     * @return lateral displacement (m), the load of a sideways shift
     */
    public double swayAt(double seconds) {
        return sway * (wander(2, seconds) - wander(2, 0)) / 2;
    }

    /**
     * Strain in each of a row of frames.
     *
     * @param frames number of frames
     * @param frameRate frames a second (Hz)
     * @return strains
     */
    public double[] strains(int frames, double frameRate) {
        double[] values = new double[frames];
        for (int i = 0; i < frames; i++) {
            values[i] = strainAt(i / frameRate);
        }
        return values;
    }

    /**
     * Sideways displacement in each of a row of frames.
     *
     * @param frames number of frames
     * @param frameRate frames a second (Hz)
     * @return lateral displacements (m)
     */
    public double[] sways(int frames, double frameRate) {
        double[] values = new double[frames];
        for (int i = 0; i < frames; i++) {
            values[i] = swayAt(i / frameRate);
        }
        return values;
    }

    /** A slow wander between -1 and 1; three of them, told apart by number. */
    private double wander(int number, double seconds) {
        double sum = 0;
        for (int i = 0; i < SLOW.length; i++) {
            sum += Math.sin(2 * Math.PI * rate * SLOW[i] * seconds + phases[3 * number + i]);
        }
        return sum / SLOW.length;
    }
}
