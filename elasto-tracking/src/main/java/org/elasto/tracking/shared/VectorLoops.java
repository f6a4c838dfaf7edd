package org.elasto.tracking.shared;

/**
 * Small loops over arrays that HotSpot turns into vector instructions. Stateless and thread-safe.
 *
 * <p>HotSpot 17 does so only where every array is read and written at the running index itself,
 * with no offset, and where the loop is small: about six arrays and ten operations; a loop that is
 * a little longer runs ten times slower. Hence so many short ones, and copies into place before
 * them. All arrays hold at least {@code n} elements.
 */
public final class VectorLoops {

    private VectorLoops() {}

    /**
     * {@code o = h a}.
     *
     * @param o receives the result
     * @param a operand a
     * @param h coefficient h
     * @param n number of elements
     */
    public static void scale(float[] o, float[] a, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * a[k];
        }
    }

    /**
     * {@code o = h (a + b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void scaleSum(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * (a[k] + b[k]);
        }
    }

    /**
     * {@code o += h (a + b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void addScaledSum(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += h * (a[k] + b[k]);
        }
    }

    /**
     * {@code o += h (a + b) + j (c + d)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param d operand d
     * @param h coefficient h
     * @param j coefficient j
     * @param n number of elements
     */
    public static void addScaledSums(
            float[] o, float[] a, float[] b, float[] c, float[] d, float h, float j, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += h * (a[k] + b[k]) + j * (c[k] + d[k]);
        }
    }

    /**
     * {@code o = a + h}.
     *
     * @param o receives the result
     * @param a operand a
     * @param h what is added
     * @param n number of elements
     */
    public static void shift(float[] o, float[] a, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] + h;
        }
    }

    /**
     * {@code o = h - a}.
     *
     * @param o receives the result
     * @param a operand a
     * @param h what it is taken off
     * @param n number of elements
     */
    public static void subtractFrom(float[] o, float[] a, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h - a[k];
        }
    }

    /**
     * {@code o = h a + b}.
     *
     * @param o receives the result
     * @param a operand a
     * @param h coefficient h
     * @param b operand b
     * @param n number of elements
     */
    public static void scaleAndAdd(float[] o, float[] a, float h, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * a[k] + b[k];
        }
    }

    /**
     * {@code o = a b + c}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param n number of elements
     */
    public static void multiplyAndAdd(float[] o, float[] a, float[] b, float[] c, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] * b[k] + c[k];
        }
    }

    /**
     * {@code o = a b}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void multiply(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] * b[k];
        }
    }

    /**
     * {@code o = max(least, h a o)}; what is NaN stays so.
     *
     * @param o operand o; receives the result
     * @param a operand a
     * @param h coefficient h
     * @param least smallest result
     * @param n number of elements
     */
    public static void scaleToAtLeast(float[] o, float[] a, float h, float least, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.max(least, h * a[k] * o[k]);
        }
    }

    /**
     * {@code o = a}, held between -most and most.
     *
     * @param o receives the result
     * @param a operand a
     * @param most greatest size of the result
     * @param n number of elements
     */
    public static void hold(float[] o, float[] a, float most, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.max(-most, Math.min(most, a[k]));
        }
    }

    /**
     * The middle between the two whole numbers around a, held between -most and most; for a whole
     * number it lies on either side.
     *
     * @param o receives the result
     * @param a operand a, of a size below 4e6
     * @param most greatest size of what is rounded
     * @param n number of elements
     */
    public static void middle(float[] o, float[] a, float most, int n) {
        for (int k = 0; k < n; k++) {
            float x = Math.max(-most, Math.min(most, a[k])) - 0.5f;
            // Adding 1.5 * 2^23 and taking it off again rounds to the nearest whole number.
            o[k] = ((x + 12582912f) - 12582912f) + 0.5f;
        }
    }

    /**
     * {@code o = 1} where a is greater than 0, 0 elsewhere; between them below 1e-38.
     *
     * @param o receives the result
     * @param a operand a
     * @param n number of elements
     */
    public static void step(float[] o, float[] a, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.min(1f, Math.max(0f, 1e38f * a[k]));
        }
    }

    /**
     * {@code o = 0} where a is greater than 0, NaN where it is 0: to be added to what is known
     * there only.
     *
     * @param o receives the result
     * @param a operand a, at least 0
     * @param n number of elements
     */
    public static void zeroOrUnknown(float[] o, float[] a, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = 0f / a[k];
        }
    }

    /**
     * Correlation from its square, x held below 1, where a is 1; else {@code -b}.
     *
     * @param o receives the result
     * @param x squared correlation
     * @param a 1 or 0
     * @param b operand b
     * @param n number of elements
     */
    public static void correlation(float[] o, float[] x, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] * (float) Math.sqrt(Math.min(x[k], 1f)) - (1f - a[k]) * b[k];
        }
    }

    /**
     * {@code o = sqrt(a / (b + 1e-30))}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void rootOfRatio(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = (float) Math.sqrt(a[k] / (b[k] + 1e-30f));
        }
    }

    /**
     * {@code o = a b / c + d}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param d operand d
     * @param n number of elements
     */
    public static void productOver(float[] o, float[] a, float[] b, float[] c, float[] d, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] * b[k] / c[k] + d[k];
        }
    }

    /**
     * {@code o = b a}, held between -most and most, times c.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param most greatest size of what is multiplied by c
     * @param n number of elements
     */
    public static void heldProduct(float[] o, float[] a, float[] b, float[] c, float most, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = c[k] * Math.max(-most, Math.min(most, b[k] * a[k]));
        }
    }

    /**
     * {@code o = min(a, b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void min(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.min(a[k], b[k]);
        }
    }

    /**
     * {@code o += a}.
     *
     * @param o receives the result
     * @param a operand a
     * @param n number of elements
     */
    public static void accumulate(float[] o, float[] a, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += a[k];
        }
    }

    /**
     * {@code o = a - b}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void subtract(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = a[k] - b[k];
        }
    }

    /**
     * {@code sum = a + b, difference = a - b}.
     *
     * @param sum receives the sum
     * @param difference receives the difference
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void sumAndDifference(
            float[] sum, float[] difference, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            float x = a[k];
            float y = b[k];
            sum[k] = x + y;
            difference[k] = x - y;
        }
    }

    /**
     * {@code o = h a + i b + j c + l d}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param d operand d
     * @param h coefficient h
     * @param i coefficient i
     * @param j coefficient j
     * @param l coefficient l
     * @param n number of elements
     */
    public static void mix(
            float[] o,
            float[] a,
            float[] b,
            float[] c,
            float[] d,
            float h,
            float i,
            float j,
            float l,
            int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * a[k] + i * b[k] + j * c[k] + l * d[k];
        }
    }

    /**
     * {@code o = h a + i b}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param i coefficient i
     * @param n number of elements
     */
    public static void mix(float[] o, float[] a, float[] b, float h, float i, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * a[k] + i * b[k];
        }
    }

    /**
     * {@code o = (d x + c) x + b}: the last three coefficients of a polynomial.
     *
     * @param o receives the result
     * @param b operand b
     * @param c operand c
     * @param d operand d
     * @param x variable
     * @param n number of elements
     */
    public static void polynomial(float[] o, float[] b, float[] c, float[] d, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            float y = x[k];
            o[k] = (d[k] * y + c[k]) * y + b[k];
        }
    }

    /**
     * {@code o = (o x + b) x + a}: two more coefficients.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param x variable
     * @param n number of elements
     */
    public static void continuePolynomial(float[] o, float[] a, float[] b, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            float y = x[k];
            o[k] = (o[k] * y + b[k]) * y + a[k];
        }
    }

    /**
     * {@code o = o x + a}: one more coefficient.
     *
     * @param o receives the result
     * @param a operand a
     * @param x variable
     * @param n number of elements
     */
    public static void continuePolynomial(float[] o, float[] a, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = o[k] * x[k] + a[k];
        }
    }

    /**
     * {@code o += w a + v b}.
     *
     * @param o receives the result
     * @param w operand w
     * @param a operand a
     * @param v operand v
     * @param b operand b
     * @param n number of elements
     */
    public static void addProducts(float[] o, float[] w, float[] a, float[] v, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += w[k] * a[k] + v[k] * b[k];
        }
    }

    /**
     * {@code o = w a + v b}.
     *
     * @param o receives the result
     * @param w operand w
     * @param a operand a
     * @param v operand v
     * @param b operand b
     * @param n number of elements
     */
    public static void products(float[] o, float[] w, float[] a, float[] v, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = w[k] * a[k] + v[k] * b[k];
        }
    }

    /**
     * {@code o = a + b / c}, held between -most and most, and a change of at most 1 taken.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param c operand c
     * @param most greatest size of the result
     * @param n number of elements
     */
    public static void addRatio(float[] o, float[] a, float[] b, float[] c, float most, int n) {
        for (int k = 0; k < n; k++) {
            float change = Math.max(-1f, Math.min(1f, b[k] / (c[k] + 1e-30f)));
            o[k] = Math.max(-most, Math.min(most, a[k] + change));
        }
    }

    /**
     * {@code o = (d x&sup2; + c) x&sup2; + b}.
     *
     * @param o receives the result
     * @param x variable
     * @param b coefficient b
     * @param c coefficient c
     * @param d coefficient d
     * @param n number of elements
     */
    public static void evenPolynomial(float[] o, float[] x, float b, float c, float d, int n) {
        for (int k = 0; k < n; k++) {
            float q = x[k] * x[k];
            o[k] = (d * q + c) * q + b;
        }
    }

    /**
     * {@code o = x ((d x&sup2; + c) x&sup2; + b)}.
     *
     * @param o receives the result
     * @param x variable
     * @param b coefficient b
     * @param c coefficient c
     * @param d coefficient d
     * @param n number of elements
     */
    public static void oddPolynomial(float[] o, float[] x, float b, float c, float d, int n) {
        for (int k = 0; k < n; k++) {
            float q = x[k] * x[k];
            o[k] = x[k] * ((d * q + c) * q + b);
        }
    }

    /**
     * Conjugate of a times b.
     *
     * @param re real part
     * @param im imaginary part
     * @param aRe real part of a
     * @param aIm imaginary part of a
     * @param bRe real part of b
     * @param bIm imaginary part of b
     * @param n number of elements
     */
    public static void conjugate(
            float[] re, float[] im, float[] aRe, float[] aIm, float[] bRe, float[] bIm, int n) {
        for (int k = 0; k < n; k++) {
            float ar = aRe[k];
            float ai = aIm[k];
            float br = bRe[k];
            float bi = bIm[k];
            re[k] = ar * br + ai * bi;
            im[k] = ar * bi - ai * br;
        }
    }

    /**
     * Adds the conjugate of a times b.
     *
     * @param re real part
     * @param im imaginary part
     * @param aRe real part of a
     * @param aIm imaginary part of a
     * @param bRe real part of b
     * @param bIm imaginary part of b
     * @param n number of elements
     */
    public static void addConjugate(
            float[] re, float[] im, float[] aRe, float[] aIm, float[] bRe, float[] bIm, int n) {
        for (int k = 0; k < n; k++) {
            float ar = aRe[k];
            float ai = aIm[k];
            float br = bRe[k];
            float bi = bIm[k];
            re[k] += ar * br + ai * bi;
            im[k] += ar * bi - ai * br;
        }
    }

    /**
     * {@code o = re&sup2; + im&sup2;}.
     *
     * @param o receives the result
     * @param re real part
     * @param im imaginary part
     * @param n number of elements
     */
    public static void power(float[] o, float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = re[k] * re[k] + im[k] * im[k];
        }
    }

    /**
     * {@code o += re&sup2; + im&sup2;}.
     *
     * @param o receives the result
     * @param re real part
     * @param im imaginary part
     * @param n number of elements
     */
    public static void addPower(float[] o, float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += re[k] * re[k] + im[k] * im[k];
        }
    }

    /**
     * Squared correlation: {@code o = (re&sup2; + im&sup2;) / (e f)}, 0 where there is no energy.
     *
     * @param o receives the result
     * @param re real part
     * @param im imaginary part
     * @param e operand e
     * @param f operand f
     * @param n number of elements
     */
    public static void coherence(float[] o, float[] re, float[] im, float[] e, float[] f, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = (re[k] * re[k] + im[k] * im[k]) / (e[k] * f[k] + 1e-30f);
        }
    }

    /**
     * {@code o = (re&sup2; + im&sup2;) / e}, 0 where there is no energy.
     *
     * @param o receives the result
     * @param re real part
     * @param im imaginary part
     * @param e energy
     * @param n number of elements
     */
    public static void powerOver(float[] o, float[] re, float[] im, float[] e, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = (re[k] * re[k] + im[k] * im[k]) / (e[k] + 1e-30f);
        }
    }

    /**
     * About {@code -ln(1 - x)}: its Pad&eacute; approximant of degrees two and two; within 3 %
     * below 0.75, and rising, if too slowly, up to 0.98, where x is held.
     *
     * @param o receives the result
     * @param x variable
     * @param n number of elements
     */
    public static void logLikelihood(float[] o, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            float y = Math.min(x[k], 0.98f);
            o[k] = y * (6f - 3f * y) / (6f - 6f * y + y * y);
        }
    }

    /**
     * {@code o = max(o, a - price)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param price what is taken off
     * @param n number of elements
     */
    public static void relax(float[] o, float[] a, float price, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.max(o[k], a[k] - price);
        }
    }

    /**
     * {@code o = max(a, b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void max(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.max(a[k], b[k]);
        }
    }

    /**
     * {@code o = min(o, a - h b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void least(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.min(o[k], a[k] - h * b[k]);
        }
    }

    /**
     * How far a lies beyond b, and b beyond a: {@code o = min(o, g (a + b) - (a - b), h (a + b) -
     * (b - a))}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param g how much greater a may be
     * @param h how much greater b may be
     * @param n number of elements
     */
    public static void leastBetween(float[] o, float[] a, float[] b, float g, float h, int n) {
        for (int k = 0; k < n; k++) {
            float sum = a[k] + b[k];
            float difference = b[k] - a[k];
            float within = Math.min(g * sum + difference, h * sum - difference);
            o[k] = Math.min(o[k], within);
        }
    }

    /**
     * {@code o = max(o, (b - a) / (a + b))}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param n number of elements
     */
    public static void lean(float[] o, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.max(o[k], (b[k] - a[k]) / (a[k] + b[k] + 1e-30f));
        }
    }

    /**
     * {@code o = min(o, h a - |b|)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void leastWithin(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = Math.min(o[k], h * a[k] - Math.abs(b[k]));
        }
    }

    /**
     * {@code o = h (a - b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void scaleDifference(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] = h * (a[k] - b[k]);
        }
    }

    /**
     * {@code o += h (a - b)}.
     *
     * @param o receives the result
     * @param a operand a
     * @param b operand b
     * @param h coefficient h
     * @param n number of elements
     */
    public static void addScaledDifference(float[] o, float[] a, float[] b, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += h * (a[k] - b[k]);
        }
    }

    /**
     * {@code o = sqrt((1 - x) / x)}, x held below 1 and above 0.
     *
     * @param o receives the result
     * @param x variable
     * @param n number of elements
     */
    public static void noiseRatio(float[] o, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            float r = Math.max(1e-6f, Math.min(1f - 1e-6f, x[k]));
            o[k] = (float) Math.sqrt((1f - r) / r);
        }
    }

    /**
     * Quadrature over energy, in units of the noise that a squared correlation tells: {@code o = a
     * / sqrt(e f (1 - x))}, x held below 1.
     *
     * @param o receives the result
     * @param a quadrature
     * @param e one energy
     * @param f the other
     * @param x squared correlation
     * @param n number of elements
     */
    public static void overNoise(float[] o, float[] a, float[] e, float[] f, float[] x, int n) {
        for (int k = 0; k < n; k++) {
            float differs = 1f - Math.min(x[k], 1f - 1e-6f);
            o[k] = a[k] / ((float) Math.sqrt(e[k] * f[k] * differs) + 1e-30f);
        }
    }

    /**
     * {@code o += h a}.
     *
     * @param o sum so far; receives the result
     * @param a operand a
     * @param h coefficient h
     * @param n number of elements
     */
    public static void addScaled(float[] o, float[] a, float h, int n) {
        for (int k = 0; k < n; k++) {
            o[k] += h * a[k];
        }
    }

    /**
     * Turns: {@code o = factor u} less the nearest whole number.
     *
     * @param o receives the result
     * @param u operand u
     * @param factor turns for each unit
     * @param n number of elements
     */
    public static void turns(float[] o, float[] u, float factor, int n) {
        for (int k = 0; k < n; k++) {
            float t = factor * u[k];
            // Adding 1.5 * 2^23 and taking it off again rounds to the nearest whole number.
            o[k] = t - ((t + 12582912f) - 12582912f);
        }
    }

    /**
     * Sine of turns from -0.5 to 0.5, within 1e-6 (least squares on the odd powers).
     *
     * @param o receives the result
     * @param turns turns
     * @param n number of elements
     */
    public static void sine(float[] o, float[] turns, int n) {
        for (int k = 0; k < n; k++) {
            float x = turns[k];
            float q = x * x;
            float y = 81.598713f + q * (-76.600281f + q * (41.278627f - q * 12.370240f));
            o[k] = x * (6.2831853f + q * (-41.341560f + q * y));
        }
    }

    /**
     * Cosine of turns from -0.5 to 0.5, within 2e-6 (least squares on the even powers).
     *
     * @param o receives the result
     * @param turns turns
     * @param n number of elements
     */
    public static void cosine(float[] o, float[] turns, int n) {
        for (int k = 0; k < n; k++) {
            float q = turns[k] * turns[k];
            float y = 64.929934f + q * (-85.279850f + q * (58.808114f - q * 21.074444f));
            o[k] = 0.99999992f + q * (-19.739048f + q * y);
        }
    }

    /**
     * Turns a complex number: {@code (re, im) *= cosine + i sine}.
     *
     * @param re real part
     * @param im imaginary part
     * @param cosine cosine of the turn
     * @param sine sine of the turn
     * @param n number of elements
     */
    public static void rotate(float[] re, float[] im, float[] cosine, float[] sine, int n) {
        for (int k = 0; k < n; k++) {
            float x = re[k];
            float y = im[k];
            float c = cosine[k];
            float s = sine[k];
            re[k] = x * c - y * s;
            im[k] = x * s + y * c;
        }
    }

    /**
     * Angle of a complex number in turns, by the tangent of its quarter: within 3e-6 of a turn up
     * to 0.49 turns either way. Beyond, one more than the cosine is little more than its rounding
     * (6e-8), and the angle is good to 1e-4.
     *
     * @param turns receives the angle, -0.5 to 0.5; 0 for 0
     * @param re real part
     * @param im imaginary part
     * @param half workspace
     * @param n elements
     */
    public static void angle(float[] turns, float[] re, float[] im, float[] half, int n) {
        halfAngle(half, turns, re, im, n);
        quarterTangent(turns, half, n);
        arcTangent(turns, n);
    }

    private static void halfAngle(float[] cosine, float[] sine, float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            float x = re[k];
            float y = im[k];
            float scale = 1f / ((float) Math.sqrt(x * x + y * y) + 1e-37f);
            cosine[k] = 1f + x * scale;
            sine[k] = y * scale;
        }
    }

    private static void quarterTangent(float[] t, float[] cosine, int n) {
        for (int k = 0; k < n; k++) {
            // One more than the cosine, and the sine: a vector at half the angle.
            float c = cosine[k];
            float y = t[k];
            float x = y / ((float) Math.sqrt(c * c + y * y) + c + 1e-30f);
            t[k] = Math.max(-1f, Math.min(1f, x));
        }
    }

    /** Four arc tangents of -1 to 1, in turns. */
    private static void arcTangent(float[] t, int n) {
        for (int k = 0; k < n; k++) {
            float x = t[k];
            float q = x * x;
            float y = 0.12405673f + q * (-0.07575430f + q * (0.03496242f - q * 0.00793895f));
            t[k] = x * (0.63661977f + q * (-0.21194692f + q * y));
        }
    }
}
