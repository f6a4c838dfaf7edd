package org.elasto.tracking.shared;

import java.util.Arrays;
import org.elasto.api.Workers;

/**
 * The linear equations of one Gauss-Newton step for axial and lateral displacement, at every sample
 * of a frame pair.
 *
 * <p>The second frame is warped by the running displacement. With m the mean of the first frame and
 * the warped one, e what they differ by, and g the derivatives of m to the two unknowns, a sample
 * says {@code Re(g conj(g)) d = Re(conj(g) e)} for the change d. The unknowns are the axial
 * displacement as a phase of the carrier, p = 4&pi; u / &lambda; (rad), and the lateral one
 * (lines). Because e is a difference and g a mean, exchanging the frames turns the sign of d and
 * nothing else, and white noise does not bias the place where d is 0. The running displacement is
 * added to the right side, so that smoothing the equations smooths the displacement and not its
 * changes.
 *
 * <p>The equations of a place are weighted by the fourth power of the coherence of the two frames
 * around it on its line: what does not match must not pull on what does. This is the step of Lucas
 * and Kanade (Proc 7th Int Joint Conf on Artificial Intelligence, 674-679, 1981; from memory) on
 * complex signals.
 *
 * <p>One thread at a time, tasks on workers; a call allocates nothing.
 */
public final class MotionEquations {

    /** Weight that remains where nothing matches. */
    private static final float LEAST_BELIEF = 1e-3f;

    private final int lines;
    private final int length;
    private final float wavelength;
    private final float radiansPerSample;
    private final GaussianWindow along;
    private final boolean windowed;

    /** The equations, {@code line * length + sample}, weighted by belief. */
    private final float[] axial;

    private final float[] cross;
    private final float[] lateral;
    private final float[] axialRight;
    private final float[] lateralRight;

    /** Energy around a sample on its line, to which the equations are in proportion. */
    private final float[] energy;

    /** Belief, and belief times running displacement (rad, lines). */
    private final float[] beliefs;

    private final float[] believedAxial;
    private final float[] believedLateral;
    private final float[] warpedRe;
    private final float[] warpedIm;
    private final float[][] buffers;
    private final double[] lineLateral;
    private final double[] lineEnergy;
    private final Workers workers;
    private final Workers.Task warp = this::warpLine;
    private final Workers.Task fill = this::fillLine;
    private BasebandFrame reference;
    private BasebandFrame moved;
    private float[] displacement;
    private float[] lateralDisplacement;

    /**
     * Makes equations.
     *
     * @param frame a baseband frame of the kind that will be given
     * @param wavelength wavelength at the centre frequency (m)
     * @param along window along a line in which energy and coherence are measured
     * @param windowed whether the equations are smoothed by that window too
     * @param workers threads it may use
     */
    public MotionEquations(
            BasebandFrame frame,
            double wavelength,
            GaussianWindow along,
            boolean windowed,
            Workers workers) {
        this.windowed = windowed;
        lines = frame.lines;
        length = frame.length;
        this.wavelength = (float) wavelength;
        radiansPerSample = (float) (4 * Math.PI * frame.spacing / wavelength);
        this.along = along;
        this.workers = workers;
        int size = lines * length;
        axial = new float[size];
        cross = new float[size];
        lateral = new float[size];
        axialRight = new float[size];
        lateralRight = new float[size];
        energy = new float[size];
        beliefs = new float[size];
        believedAxial = new float[size];
        believedLateral = new float[size];
        warpedRe = new float[size];
        warpedIm = new float[size];
        lineLateral = new double[lines];
        lineEnergy = new double[lines];
        buffers = new float[workers.count()][3 * length + 2 * (length + 2 * along.halfWidth())];
    }

    /**
     * Sets up the equations of every sample.
     *
     * @param a first frame
     * @param b second frame
     * @param u running axial displacement (m), {@code line * length + sample}
     * @param v running lateral displacement (lines)
     */
    public void fill(BasebandFrame a, BasebandFrame b, float[] u, float[] v) {
        reference = a;
        moved = b;
        displacement = u;
        lateralDisplacement = v;
        workers.run(lines, warp);
        workers.run(lines, fill);
        reference = null;
        moved = null;
        displacement = null;
        lateralDisplacement = null;
    }

    /** The equations of a line and its neighbours, added up; workspace of one worker. */
    public static final class Sums {

        /** Axial diagonal of each sample. */
        public final float[] axial;

        /** Off-diagonal. */
        public final float[] cross;

        /** Lateral diagonal. */
        public final float[] lateral;

        /** Right side of the axial equation (rad). */
        public final float[] axialRight;

        /** Right side of the lateral equation (lines). */
        public final float[] lateralRight;

        /** Energy, to which the equations are in proportion. */
        public final float[] energy;

        private final float[] belief;
        private final float[] meanAxial;
        private final float[] meanLateral;

        /**
         * Makes room for sums.
         *
         * @param length samples a line
         */
        public Sums(int length) {
            axial = new float[length];
            cross = new float[length];
            lateral = new float[length];
            axialRight = new float[length];
            lateralRight = new float[length];
            energy = new float[length];
            belief = new float[length];
            meanAxial = new float[length];
            meanLateral = new float[length];
        }

        private void clear() {
            Arrays.fill(axial, 0f);
            Arrays.fill(cross, 0f);
            Arrays.fill(lateral, 0f);
            Arrays.fill(axialRight, 0f);
            Arrays.fill(lateralRight, 0f);
            Arrays.fill(energy, 0f);
            Arrays.fill(belief, 0f);
            Arrays.fill(meanAxial, 0f);
            Arrays.fill(meanLateral, 0f);
        }

        private void addMeanToRightSides() {
            for (int n = 0; n < belief.length; n++) {
                float p = meanAxial[n] / belief[n];
                float v = meanLateral[n] / belief[n];
                axialRight[n] += axial[n] * p + cross[n] * v;
                lateralRight[n] += cross[n] * p + lateral[n] * v;
            }
        }
    }

    /**
     * Adds up the equations of a line and its neighbours, but where a jump lies between them.
     *
     * @param line the line
     * @param across weights of the lines
     * @param u running axial displacement (m), {@code line * length + sample}
     * @param jump difference of displacement between two lines that is a jump (m)
     * @param sums receives the sums
     */
    public void sumAcross(int line, GaussianWindow across, float[] u, float jump, Sums sums) {
        sums.clear();
        int half = across.halfWidth();
        for (int m = Math.max(0, line - half); m <= Math.min(lines - 1, line + half); m++) {
            addLine(line * length, m * length, across.tap(m - line), u, jump, sums);
        }
        sums.addMeanToRightSides();
    }

    private void addLine(int here, int there, float weight, float[] u, float jump, Sums sums) {
        for (int n = 0; n < length; n++) {
            float w = Math.abs(u[there + n] - u[here + n]) < jump ? weight : 0f;
            sums.axial[n] += w * axial[there + n];
            sums.cross[n] += w * cross[there + n];
            sums.lateral[n] += w * lateral[there + n];
            sums.axialRight[n] += w * axialRight[there + n];
            sums.lateralRight[n] += w * lateralRight[there + n];
            sums.energy[n] += w * energy[there + n];
            sums.belief[n] += w * beliefs[there + n];
            sums.meanAxial[n] += w * believedAxial[there + n];
            sums.meanLateral[n] += w * believedLateral[there + n];
        }
    }

    /**
     * How much a lateral displacement of a line changes the echo, over the whole frame: mean of the
     * lateral diagonal over that of the energy, before the weights.
     *
     * @return squared spatial frequency (rad&sup2; per line&sup2;); 0 for a single line
     */
    public double lateralSharpness() {
        double g = 0;
        double e = 0;
        for (int line = 0; line < lines; line++) {
            g += lineLateral[line];
            e += lineEnergy[line];
        }
        return e > 0 ? g / e : 0;
    }

    private void warpLine(int line, int worker) {
        FractionalShift.warp(
                moved,
                line,
                displacement,
                lateralDisplacement,
                wavelength,
                warpedRe,
                warpedIm,
                line * length);
    }

    private void fillLine(int line, int worker) {
        float[] buffer = buffers[worker];
        int padded = length + 2 * along.halfWidth();
        int likeAt = 3 * length + along.halfWidth();
        int unlikeAt = likeAt + padded;
        int before = Math.max(0, line - 1);
        int after = Math.min(lines - 1, line + 1);
        mean(line, buffer, 0, buffer, length);
        derive(line, before, after, buffer, likeAt, unlikeAt);
        along.smooth(buffer, likeAt, energy, line * length, length);
        along.smooth(buffer, unlikeAt, buffer, 2 * length, length);
        believe(line, buffer);
        if (windowed) {
            smooth(axial, line, buffer, likeAt);
            smooth(cross, line, buffer, likeAt);
            smooth(lateral, line, buffer, likeAt);
            smooth(axialRight, line, buffer, likeAt);
            smooth(lateralRight, line, buffer, likeAt);
            smooth(beliefs, line, buffer, likeAt);
            smooth(believedAxial, line, buffer, likeAt);
            smooth(believedLateral, line, buffer, likeAt);
        }
    }

    private void smooth(float[] plane, int line, float[] buffer, int at) {
        System.arraycopy(plane, line * length, buffer, at, length);
        along.smooth(buffer, at, plane, line * length, length);
    }

    /** Mean of the first frame and the warped one. */
    private void mean(int line, float[] re, int reAt, float[] im, int imAt) {
        int at = line * reference.stride + BasebandFrame.MARGIN;
        int to = line * length;
        for (int n = 0; n < length; n++) {
            re[reAt + n] = 0.5f * (reference.re[at + n] + warpedRe[to + n]);
            im[imAt + n] = 0.5f * (reference.im[at + n] + warpedIm[to + n]);
        }
    }

    /** Equations without weights; energies of mean and difference, not smoothed yet. */
    private void derive(int line, int before, int after, float[] m, int likeAt, int unlikeAt) {
        float[] aRe = reference.re;
        float[] aIm = reference.im;
        float[] bRe = warpedRe;
        float[] bIm = warpedIm;
        int at = line * reference.stride + BasebandFrame.MARGIN;
        int atBefore = before * reference.stride + BasebandFrame.MARGIN;
        int atAfter = after * reference.stride + BasebandFrame.MARGIN;
        int to = line * length;
        int toBefore = before * length;
        int toAfter = after * length;
        float acrossScale = after > before ? 0.5f / (after - before) : 0f;
        float alongScale = 1 / radiansPerSample;
        double sumLateral = 0;
        double sumEnergy = 0;
        for (int n = 0; n < length; n++) {
            float mr = m[n];
            float mi = m[length + n];
            float er = aRe[at + n] - bRe[to + n];
            float ei = aIm[at + n] - bIm[to + n];
            // d/dp of m exp(ip): the carrier turns, and the envelope moves on.
            float gr = -mi + alongScale * slope(m, 0, n);
            float gi = mr + alongScale * slope(m, length, n);
            float hr =
                    acrossScale
                            * (aRe[atAfter + n]
                                    + bRe[toAfter + n]
                                    - aRe[atBefore + n]
                                    - bRe[toBefore + n]);
            float hi =
                    acrossScale
                            * (aIm[atAfter + n]
                                    + bIm[toAfter + n]
                                    - aIm[atBefore + n]
                                    - bIm[toBefore + n]);
            float gg = gr * gr + gi * gi;
            float hh = hr * hr + hi * hi;
            axial[to + n] = gg;
            cross[to + n] = gr * hr + gi * hi;
            lateral[to + n] = hh;
            axialRight[to + n] = gr * er + gi * ei;
            lateralRight[to + n] = hr * er + hi * ei;
            float mm = mr * mr + mi * mi;
            float ee = 0.25f * (er * er + ei * ei);
            m[likeAt + n] = mm + ee;
            m[unlikeAt + n] = mm - ee;
            sumLateral += hh;
            sumEnergy += mm;
        }
        lineLateral[line] = sumLateral;
        lineEnergy[line] = sumEnergy;
    }

    /** Derivative by five points, in units a sample; the two outermost samples have none. */
    private float slope(float[] x, int at, int n) {
        if (n < 2 || n >= length - 2) {
            return 0;
        }
        int k = at + n;
        return (8 * (x[k + 1] - x[k - 1]) - (x[k + 2] - x[k - 2])) * (1 / 12f);
    }

    private void believe(int line, float[] buffer) {
        int to = line * length;
        float radiansPerMetre = (float) (4 * Math.PI / wavelength);
        for (int n = 0; n < length; n++) {
            float like = energy[to + n];
            float r = like > 0 ? Math.max(0, buffer[2 * length + n] / like) : 0f;
            float belief = Math.max(LEAST_BELIEF, r * r * r * r);
            beliefs[to + n] = belief;
            believedAxial[to + n] = belief * radiansPerMetre * displacement[to + n];
            believedLateral[to + n] = belief * lateralDisplacement[to + n];
            axial[to + n] *= belief;
            cross[to + n] *= belief;
            lateral[to + n] *= belief;
            axialRight[to + n] *= belief;
            lateralRight[to + n] *= belief;
        }
    }
}
