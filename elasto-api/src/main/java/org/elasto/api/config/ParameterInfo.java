package org.elasto.api.config;

import java.util.List;

/**
 * What is known of one parameter of a config record. Immutable and thread-safe.
 *
 * @param name name in text, words joined by hyphens, such as {@code window-length}
 * @param type Java type of the component: int, long, double, boolean, String or an enum
 * @param unit SI unit, empty for none
 * @param min smallest allowed number, -infinity for any finite one; of no use for other types
 * @param max largest allowed number, infinity for any finite one; of no use for other types
 * @param optional whether it may be left open
 * @param meaning what it does
 * @param choices the allowed words of an enum or boolean, otherwise empty
 */
public record ParameterInfo(
        String name,
        Class<?> type,
        String unit,
        double min,
        double max,
        boolean optional,
        String meaning,
        List<String> choices) {

    public ParameterInfo {
        choices = List.copyOf(choices);
    }

    /**
     * What is allowed, for lists and messages.
     *
     * @return such as {@code from 1.0E-4 to 0.01 m} or {@code one of parabola, cosine, spline}
     */
    public String allowed() {
        String text;
        if (!choices.isEmpty()) {
            text = "one of " + String.join(", ", choices);
        } else if (type == String.class) {
            text = optional ? "text" : "text of at least one character";
        } else {
            boolean whole = type == int.class || type == long.class;
            String kind = whole ? "a whole number " : "a number ";
            if (Double.isInfinite(min) && Double.isInfinite(max)) {
                text = kind.trim();
            } else if (Double.isInfinite(max)) {
                text = kind + "of at least " + number(min, whole);
            } else if (Double.isInfinite(min)) {
                text = kind + "of at most " + number(max, whole);
            } else {
                text = kind + "from " + number(min, whole) + " to " + number(max, whole);
            }
            text = unit.isEmpty() ? text : text + " " + unit;
        }
        return optional ? text + ", or left open" : text;
    }

    private static String number(double value, boolean whole) {
        return whole ? Long.toString((long) value) : Double.toString(value);
    }
}
