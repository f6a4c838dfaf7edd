package org.elasto.tracking.shared;

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

    /** Axial diagonal of the equations, {@code line * length + sample}. */
    public final float[] axial;

    /** Off-diagonal. */
    public final float[] cross;

    /** Lateral diagonal. */
    public final float[] lateral;

    /** Right side of the axial equation, running displacement included (rad). */
    public final float[] axialRight;

    /** Right side of the lateral equation, running displacement included (lines). */
    public final float[] lateralRight;

    /** Energy around a sample on its line, to which the equations are in proportion. */
    public final float[] energy;

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
     * @param workers threads it may use
     */
    public MotionEquations(
            BasebandFrame frame, double wavelength, GaussianWindow along, Workers workers) {
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
            float p = radiansPerMetre * displacement[to + n];
            float v = lateralDisplacement[to + n];
            float gg = belief * axial[to + n];
            float gh = belief * cross[to + n];
            float hh = belief * lateral[to + n];
            axial[to + n] = gg;
            cross[to + n] = gh;
            lateral[to + n] = hh;
            axialRight[to + n] = belief * axialRight[to + n] + gg * p + gh * v;
            lateralRight[to + n] = belief * lateralRight[to + n] + gh * p + hh * v;
        }
    }
}
