package org.elasto.tracking.opticalflow;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Dense axial and lateral displacement by regularised optical flow on the complex echo.
 *
 * <p>Both frames become complex baseband. A coarse search along the lines, and one by whole lines
 * across them, give a start (where tissue has moved by lines, both are repeated from there). Then,
 * a few times over: the second frame is warped by the running motion in both directions; small
 * Gaussian windows tell what is still missing, axially the phase of the complex correlation,
 * laterally the shift that leaves the least difference; and a motion is sought that comes close to
 * that and bends little:
 *
 * <pre>{@code
 * sum w (u - data)^2 + p s (second difference along the lines)^2
 *                    + q t (second difference across the lines)^2
 * }</pre>
 *
 * <p>A press is a straight line of displacement over depth, and so is its sideways spread over the
 * lines: second differences leave both alone, at the edges too. The weight w of a datum is the
 * magnitude of its local correlation over the energy around it, times the fourth power of the
 * correlation in a wide window: what does not match, or hardly echoes, is filled in from what does.
 * The weights of smoothness p and q follow from the equivalent length and width over which the
 * solution is to average, by its frequency response; p is an entirely different number from q,
 * since samples and lines lie differently close. The shares s and t fall as 1 / (1 +
 * (bend/jump)&sup2;) of the running solution's bend (lagged diffusivity), so that slipping blocks
 * and bone keep their own motion; they are common to both directions of motion.
 *
 * <p>Sources: smoothness as a penalty is that of Horn and Schunck, Artificial Intelligence
 * 17:185-203, 1981; the data in small windows under a global penalty that of Bruhn, Weickert and
 * Schn&ouml;rr, Int J Computer Vision 61:211-231, 2005 (from memory); penalties that give way,
 * solved with the lagged solution's shares, those of Charbonnier, Blanc-F&eacute;raud, Aubert and
 * Barlaud, IEEE Trans Image Processing 6:298-311, 1997, and of Vogel and Oman, SIAM J Sci Comput
 * 17:227-238, 1996 (both from memory). Changed from them: complex baseband instead of brightness,
 * second differences instead of first, the share that Geman and McClure's kind of penalty gives,
 * which lets go of a jump of many wavelengths altogether, and a solver that alternates directions.
 * The phase of a windowed complex correlation as a measure of motion is that of Kasai, Namekawa,
 * Koyano and Omoto, IEEE Trans Sonics Ultrason 32(3):458-464, 1985; the predicted deviation follows
 * Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995.
 *
 * <p>Limits and known failures: motion beyond the search ranges is not found. Smoothing widths of
 * more than about eight lines are not wholly converged at jumps and in weak echo. Where correlation
 * is low, the solution averages farther than elsewhere, and its errors are smaller and longer than
 * predicted; where strain jumps from layer to layer by several times at high signal-to-noise, they
 * are larger. Predicted lateral deviations are up to about 1.3 times too small in noise (twice
 * beside a slip plane) and up to 1.7 times too large in strained tissue. With fewer than three
 * lines there is no lateral displacement.
 */
public final class VariationalFlowProvider
        implements DisplacementEstimatorProvider<VariationalFlowConfig> {

    /** Called by the service loader. */
    public VariationalFlowProvider() {}

    @Override
    public String name() {
        return "variational-flow";
    }

    @Override
    public String summary() {
        return "axial and lateral displacement by optical flow on the complex echo, smooth in"
                + " strain, giving way at jumps";
    }

    @Override
    public String source() {
        return "regularised optical flow: Horn and Schunck, Artificial Intelligence 17:185-203,"
                + " 1981; deviation: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995";
    }

    @Override
    public VariationalFlowConfig defaults() {
        return VariationalFlowConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            VariationalFlowConfig config, ScanGeometry geometry, Workers workers) {
        return new VariationalFlowEstimator(config, geometry, workers);
    }
}
