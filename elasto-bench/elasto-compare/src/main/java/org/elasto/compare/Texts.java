package org.elasto.compare;

import java.util.Locale;

/** Words and numbers as the command line shows them, the same in every locale. */
final class Texts {

    private static final int WIDTH = 80;

    private Texts() {}

    /** A number, or a dash where there is none. */
    static String number(String format, double value) {
        return Double.isNaN(value) ? "-" : String.format(Locale.ROOT, format, value);
    }

    /** A paragraph in lines of at most 80 characters. */
    static String wrapped(String paragraph) {
        StringBuilder text = new StringBuilder();
        int column = 0;
        for (String word : paragraph.split(" ")) {
            if (column > 0) {
                boolean fits = column + 1 + word.length() <= WIDTH;
                text.append(fits ? ' ' : '\n');
                column = fits ? column + 1 : 0;
            }
            text.append(word);
            column += word.length();
        }
        return text.toString();
    }
}
