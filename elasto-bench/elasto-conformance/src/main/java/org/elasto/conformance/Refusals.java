package org.elasto.conformance;

import java.util.Arrays;
import java.util.Locale;

/** Whether a wrong argument is refused, and in words that help. */
final class Refusals {

    private Refusals() {}

    /**
     * Expects an IllegalArgumentException whose message holds all of some words.
     *
     * @param words what the message must hold, such as the size seen and the size expected
     */
    static void expect(Tally tally, String condition, Runnable call, Object... words) {
        String expected = "IllegalArgumentException whose message has";
        for (Object word : words) {
            expected += " '" + word + "'";
        }
        if (words.length == 0) {
            expected = "IllegalArgumentException with a message";
        }
        RuntimeException thrown = null;
        try {
            call.run();
        } catch (RuntimeException e) {
            thrown = e;
        }
        tally.expect(
                thrown instanceof IllegalArgumentException && holds(thrown.getMessage(), words),
                thrown == null ? "no exception" : thrown.toString(),
                expected,
                condition);
    }

    private static boolean holds(String message, Object... words) {
        if (message == null || message.isBlank()) {
            return false;
        }
        for (Object word : words) {
            // As a number of its own, not as a part of another.
            String pattern = "(?s).*(?<![0-9])\\Q" + word + "\\E(?![0-9]).*";
            if (!message.matches(pattern)) {
                return false;
            }
        }
        return true;
    }

    /** Whether a message speaks of a parameter, however its words are joined. */
    static boolean names(String message, Iterable<String> parameters) {
        String text = String.valueOf(message).toLowerCase(Locale.ROOT).replaceAll("[ _]", "-");
        for (String parameter : parameters) {
            if (text.contains(parameter)) {
                return true;
            }
        }
        return false;
    }

    /** Numbers in a message. */
    static int numbers(String message) {
        return (int)
                Arrays.stream(String.valueOf(message).split("[^0-9.]+"))
                        .filter(word -> word.matches(".*[0-9].*"))
                        .count();
    }
}
