package org.elasto.tracking.shared;

import org.elasto.api.Workers;

/**
 * Workspace of one worker for correlating lines in smooth windows, first along each line into
 * planes, then across the lines.
 */
public final class WindowScratch {

    /** Two padded lines whose margins stay zero. */
    private final float[] first;

    private final float[] second;
    private final int margin;
    private final int length;

    /** Real part of the windowed product of the two frames, after {@link #correlateAcross}. */
    public final float[] re;

    /** Imaginary part of the product. */
    public final float[] im;

    /** Windowed energy of the first frame. */
    public final float[] referenceEnergy;

    /** Windowed energy of the second frame with its motion undone. */
    public final float[] movedEnergy;

    /** A line for the caller's use. */
    public final float[] mean;

    /** Another line for the caller's use. */
    public final float[] weight;

    /** A third one. */
    public final float[] centre;

    private WindowScratch(int length, int margin) {
        this.length = length;
        this.margin = margin;
        first = new float[length + 2 * margin];
        second = new float[length + 2 * margin];
        re = new float[length];
        im = new float[length];
        referenceEnergy = new float[length];
        movedEnergy = new float[length];
        mean = new float[length];
        weight = new float[length];
        centre = new float[length];
    }

    /**
     * Workspace for each worker.
     *
     * @param workers the workers
     * @param length samples a line
     * @param along window along the lines
     * @return one for each
     */
    public static WindowScratch[] forWorkers(Workers workers, int length, GaussianWindow along) {
        WindowScratch[] all = new WindowScratch[workers.count()];
        for (int i = 0; i < all.length; i++) {
            all[i] = new WindowScratch(length, along.halfWidth());
        }
        return all;
    }

    /**
     * Product of a line of both frames and energy of the second, smoothed along the line.
     *
     * @param along the window
     * @param reference first frame
     * @param line line number
     * @param bRe second frame with its motion undone, {@code line * length + n}
     * @param bIm its imaginary part
     * @param productRe receives the product, laid out as the second frame
     * @param productIm its imaginary part
     * @param energy receives the energy of the second frame
     */
    public void correlateAlong(
            GaussianWindow along,
            BasebandFrame reference,
            int line,
            float[] bRe,
            float[] bIm,
            float[] productRe,
            float[] productIm,
            float[] energy) {
        int to = line * length;
        int at = line * reference.stride + BasebandFrame.MARGIN;
        LineProduct.conjugate(
                reference.re, reference.im, at, bRe, bIm, to, first, second, margin, length);
        along.smooth(first, margin, productRe, to, length);
        along.smooth(second, margin, productIm, to, length);
        LineProduct.squaredMagnitude(bRe, bIm, to, first, margin, length);
        along.smooth(first, margin, energy, to, length);
    }

    /**
     * Energy of a line of a frame, smoothed along the line.
     *
     * @param along the window
     * @param frame the frame
     * @param line line number
     * @param energy receives the energy, {@code line * length + n}
     */
    public void energyAlong(GaussianWindow along, BasebandFrame frame, int line, float[] energy) {
        int at = line * frame.stride + BasebandFrame.MARGIN;
        LineProduct.squaredMagnitude(frame.re, frame.im, at, first, margin, length);
        along.smooth(first, margin, energy, line * length, length);
    }

    /**
     * Share of flawed samples in either frame, smoothed along the line.
     *
     * @param along the window
     * @param a first frame
     * @param b second frame
     * @param line line number
     * @param flaws receives the share, {@code line * length + n}
     */
    public void flawsAlong(
            GaussianWindow along, BasebandFrame a, BasebandFrame b, int line, float[] flaws) {
        int to = line * length;
        for (int n = 0; n < length; n++) {
            first[margin + n] = Math.max(a.flaws[to + n], b.flaws[to + n]);
        }
        along.smooth(first, margin, flaws, to, length);
    }

    /**
     * A weighted value and its weight, smoothed along the line.
     *
     * @param along the window
     * @param line line number
     * @param value the value, {@code line * length + n}
     * @param weights its weight
     * @param product receives the smoothed product of both
     * @param smoothWeights receives the smoothed weight
     */
    public void meanAlong(
            GaussianWindow along,
            int line,
            float[] value,
            float[] weights,
            float[] product,
            float[] smoothWeights) {
        int to = line * length;
        for (int n = 0; n < length; n++) {
            first[margin + n] = weights[to + n];
            second[margin + n] = weights[to + n] * value[to + n];
        }
        along.smooth(first, margin, smoothWeights, to, length);
        along.smooth(second, margin, product, to, length);
    }

    /**
     * Smooths the four planes of a correlation across the lines, into {@link #re}, {@link #im},
     * {@link #referenceEnergy} and {@link #movedEnergy}.
     *
     * @param across the window
     * @param lines number of lines
     * @param line the middle line
     * @param productRe real part of the product
     * @param productIm imaginary part
     * @param energyA energy of the first frame
     * @param energyB energy of the second frame
     */
    public void correlateAcross(
            GaussianWindow across,
            int lines,
            int line,
            float[] productRe,
            float[] productIm,
            float[] energyA,
            float[] energyB) {
        across.smoothAcross(productRe, length, lines, line, length, re);
        across.smoothAcross(productIm, length, lines, line, length, im);
        across.smoothAcross(energyA, length, lines, line, length, referenceEnergy);
        across.smoothAcross(energyB, length, lines, line, length, movedEnergy);
    }

    /**
     * Squared correlation at a sample, after {@link #correlateAcross}.
     *
     * @param n the sample
     * @return 0 to 1; 0 where there is no energy
     */
    public float correlation2(int n) {
        double energies = (double) referenceEnergy[n] * movedEnergy[n];
        double product2 = (double) re[n] * re[n] + (double) im[n] * im[n];
        return energies > 0 ? (float) Math.min(1, product2 / energies) : 0f;
    }
}
