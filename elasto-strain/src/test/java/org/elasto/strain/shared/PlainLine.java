package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;

/** The slow and plainly written fit that the fast one is compared with. */
public final class PlainLine {

    public double slope = Double.NaN;
    public double deviation = Double.NaN;
    public double meanMatch;
    public int known;

    /** Fits the window of {@code 2 half + 1} rows around a row. */
    public static PlainLine fit(
            DisplacementField field, int line, int row, int half, double share) {
        PlainLine result = new PlainLine();
        int rows = field.rows();
        int length = 2 * half + 1;
        double[] z = new double[length];
        double[] u = new double[length];
        double[] s = new double[length];
        int n = 0;
        for (int r = Math.max(0, row - half); r <= Math.min(rows - 1, row + half); r++) {
            int i = line * rows + r;
            float c = field.correlation()[i];
            float d = field.axialDeviation()[i];
            if (c > 0 && Float.isFinite(field.axial()[i]) && d >= 0 && d <= 1e-4f) {
                z[n] = (r - row) * field.layout().grid().spacing();
                u[n] = field.axial()[i];
                s[n] = Math.max(d, 1e-9);
                result.meanMatch += c;
                n++;
            }
        }
        result.known = n;
        if (n < 2 || n < share * length - 1e-9) {
            return result;
        }
        result.meanMatch /= n;
        double[] a = weights(z, s, n);
        ErrorCorrelation errors = field.layout().axialErrors();
        result.slope = 0;
        double variance = 0;
        for (int i = 0; i < n; i++) {
            result.slope += a[i] * u[i];
            for (int j = 0; j < n; j++) {
                variance += a[i] * a[j] * s[i] * s[j] * errors.at(z[i] - z[j]);
            }
        }
        result.deviation = Math.sqrt(variance);
        return result;
    }

    /** What each displacement counts in the slope. */
    public static double[] weights(double[] z, double[] s, int n) {
        double sum = 0;
        double mean = 0;
        for (int i = 0; i < n; i++) {
            sum += 1 / (s[i] * s[i]);
            mean += z[i] / (s[i] * s[i]);
        }
        mean /= sum;
        double spread = 0;
        for (int i = 0; i < n; i++) {
            spread += (z[i] - mean) * (z[i] - mean) / (s[i] * s[i]);
        }
        double[] a = new double[n];
        for (int i = 0; i < n; i++) {
            a[i] = (z[i] - mean) / (s[i] * s[i]) / spread;
        }
        return a;
    }
}
