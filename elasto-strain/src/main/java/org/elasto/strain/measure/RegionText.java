package org.elasto.strain.measure;

import java.util.Locale;

/** The text form of regions. */
final class RegionText {

    private static final String FORMS =
            "; write 'ellipse X Z HALF-WIDTH HALF-DEPTH [ANGLE]' or 'polygon X Z X Z X Z ...', in"
                    + " millimetres and degrees, parted by spaces";

    private RegionText() {}

    static Region parse(String text) {
        String[] words = text.trim().split("\\s+");
        double[] numbers = new double[words.length - 1];
        for (int i = 0; i < numbers.length; i++) {
            try {
                numbers[i] = Double.parseDouble(words[i + 1]);
            } catch (NumberFormatException e) {
                throw new IllegalArgumentException(
                        "region '" + text + "': '" + words[i + 1] + "' is no number" + FORMS, e);
            }
        }
        int n = numbers.length;
        try {
            if (words[0].equals("ellipse") && (n == 4 || n == 5)) {
                return new EllipseRegion(
                        numbers[0] / 1e3,
                        numbers[1] / 1e3,
                        numbers[2] / 1e3,
                        numbers[3] / 1e3,
                        n == 5 ? Math.toRadians(numbers[4]) : 0);
            }
            if (words[0].equals("polygon")) {
                return Region.polygonMillimetres(numbers);
            }
        } catch (IllegalArgumentException e) {
            throw new IllegalArgumentException("region '" + text + "': " + e.getMessage(), e);
        }
        throw new IllegalArgumentException("region '" + text + "' is of no known form" + FORMS);
    }

    /** A word and numbers with as many decimals as they need, up to four. */
    static String write(String word, double... numbers) {
        StringBuilder text = new StringBuilder(word);
        for (double number : numbers) {
            String decimals = String.format(Locale.ROOT, "%.4f", number);
            text.append(' ').append(decimals.replaceAll("\\.?0+$", "").replaceAll("^-0$", "0"));
        }
        return text.toString();
    }
}
