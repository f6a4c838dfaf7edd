package org.elasto.compare;

import java.util.Locale;
import org.elasto.api.Check;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/** Words and numbers as the command line shows them, the same in every locale. */
final class Texts {

    private static final int WIDTH = 80;

    private Texts() {}

    /** A number, or a dash where there is none. */
    static String number(String format, double value) {
        return Double.isNaN(value) ? "-" : String.format(Locale.ROOT, format, value);
    }

    /** As many threads as asked for, 0 for one a processor. */
    static Workers workers(int asked) {
        Check.range("--workers", asked, 0, 1024);
        return Workers.threads(asked == 0 ? Runtime.getRuntime().availableProcessors() : asked);
    }

    /** A scan in one line. */
    static String describe(ScanGeometry g) {
        return String.format(
                Locale.ROOT,
                "%d lines x %d samples, %.1f MHz, %.1f to %.1f mm deep",
                g.lines(),
                g.samples(),
                g.centreFrequency() / 1e6,
                g.firstDepth() * 1e3,
                g.lastDepth() * 1e3);
    }

    /** Share of what is true. */
    static double share(boolean[] mask) {
        int count = 0;
        for (boolean value : mask) {
            count += value ? 1 : 0;
        }
        return (double) count / mask.length;
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
