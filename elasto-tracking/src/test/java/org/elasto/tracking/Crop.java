package org.elasto.tracking;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Properties;
import org.apache.commons.math3.analysis.interpolation.SplineInterpolator;
import org.apache.commons.math3.analysis.polynomials.PolynomialSplineFunction;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;

/**
 * The committed crop of a recording that no code of ours made: two frames, and the true
 * displacement between them from a finite-element model. {@code make_crop.py} beside it tells how
 * it was cut out.
 */
final class Crop {

    final ScanGeometry geometry;
    final RfFrame first;
    final RfFrame second;
    private final PolynomialSplineFunction[] truth;

    Crop() throws IOException {
        Properties p = new Properties();
        try (InputStream in = open("crop.properties")) {
            p.load(in);
        }
        int lines = Integer.parseInt(p.getProperty("lines"));
        int samples = Integer.parseInt(p.getProperty("samples"));
        geometry =
                ScanGeometry.linear(
                        lines,
                        samples,
                        number(p, "sampling_frequency_hz"),
                        number(p, "centre_frequency_hz"),
                        number(p, "speed_of_sound_m_s"),
                        number(p, "first_sample_depth_m"),
                        number(p, "line_pitch_m"),
                        number(p, "frame_rate_hz"));
        ByteBuffer rf = bytes("rf.int16");
        short[] one = new short[lines * samples];
        short[] two = new short[lines * samples];
        rf.asShortBuffer().get(one).get(two);
        first = RfFrame.of(geometry, one).stamp(1, 0);
        second = RfFrame.of(geometry, two).stamp(2, 20_000_000);

        int depths = Integer.parseInt(p.getProperty("truth_depths"));
        double[] z = new double[depths];
        for (int i = 0; i < depths; i++) {
            z[i] = number(p, "truth_first_depth_m") + i * number(p, "truth_depth_spacing_m");
        }
        ByteBuffer u = bytes("truth.float32");
        truth = new PolynomialSplineFunction[lines];
        for (int line = 0; line < lines; line++) {
            double[] values = new double[depths];
            for (int i = 0; i < depths; i++) {
                values[i] = u.getFloat();
            }
            truth[line] = new SplineInterpolator().interpolate(z, values);
        }
    }

    /** True axial displacement (m), by a cubic spline (Commons Math) over the model's depths. */
    double truth(int line, double depth) {
        return truth[line].value(depth);
    }

    private static double number(Properties p, String key) {
        return Double.parseDouble(p.getProperty(key));
    }

    private static InputStream open(String name) {
        return Crop.class.getResourceAsStream("/crop/" + name);
    }

    private static ByteBuffer bytes(String name) throws IOException {
        try (InputStream in = open(name)) {
            return ByteBuffer.wrap(in.readAllBytes()).order(ByteOrder.LITTLE_ENDIAN);
        }
    }
}
