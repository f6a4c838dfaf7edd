package org.elasto.conformance;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Assertions;

/**
 * What one check has compared and what did not hold. A check that compared nothing fails: it must
 * not look as if something had been shown.
 */
final class Tally {

    private static final int SHOWN = 6;

    private final String subject;
    private final List<String> failures = new ArrayList<>();
    private int failed;
    private long compared;

    Tally(String subject) {
        this.subject = subject;
    }

    /** Notes comparisons that were made elsewhere and held. */
    void count(long comparisons) {
        compared += comparisons;
    }

    /** One comparison whose outcome is known. */
    void expect(boolean holds, String seen, String expected, String condition) {
        compared++;
        if (!holds) {
            failed++;
            if (failures.size() < SHOWN) {
                failures.add("saw " + seen + "; expected " + expected + " [" + condition + "]");
            }
        }
    }

    /** Fails with a text of its own. */
    void fail(String seen, String expected, String condition) {
        expect(false, seen, expected, condition);
    }

    void atMost(String what, double seen, double most, String condition) {
        show(what, seen, "at most " + number(most), condition);
        // False for NaN as well.
        expect(seen <= most, what + " " + number(seen), "at most " + number(most), condition);
    }

    void atLeast(String what, double seen, double least, String condition) {
        show(what, seen, "at least " + number(least), condition);
        expect(seen >= least, what + " " + number(seen), "at least " + number(least), condition);
    }

    void between(String what, double seen, double least, double most, String condition) {
        String range = "from " + number(least) + " to " + number(most);
        show(what, seen, range, condition);
        expect(seen >= least && seen <= most, what + " " + number(seen), range, condition);
    }

    private void show(String what, double seen, String expected, String condition) {
        if (Sizes.printFigures()) {
            System.out.printf(
                    Locale.ROOT,
                    "%s: %s %s (%s) [%s]%n",
                    subject,
                    what,
                    number(seen),
                    expected,
                    condition);
        }
    }

    /** Throws what did not hold. */
    void finish() {
        if (failed > 0) {
            String more =
                    failed > failures.size()
                            ? "\n  and " + (failed - failures.size()) + " more"
                            : "";
            Assertions.fail(
                    subject
                            + ": "
                            + failed
                            + " of "
                            + compared
                            + " comparisons did not hold\n  "
                            + String.join("\n  ", failures)
                            + more);
        }
        if (compared == 0) {
            Assertions.fail(subject + ": nothing was compared, so nothing has been shown");
        }
    }

    static String number(double value) {
        return String.format(Locale.ROOT, "%.4g", value);
    }
}
