package org.elasto.api.config;

import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;

/**
 * The parameters of a config record: what they are, whether values are allowed, and the only way
 * from text to a record and back.
 *
 * <p>A config record is public, in an exported package, and has components of type int, long,
 * double, boolean, String or an enum, each with a {@link Parameter}. Numbers are finite; only a
 * double or a String can be optional, and is then NaN or empty when left open. In text, names and
 * enum words are lower-case words joined by hyphens ({@code windowLength} is {@code
 * window-length}). The compact constructor calls {@link #check}, so that a record with a value out
 * of range cannot exist:
 *
 * <pre>{@code
 * public record SmoothingConfig(
 *         @Parameter(meaning = "depth of the window", unit = "m", min = 1e-4, max = 1e-2)
 *         double windowLength) {
 *     public SmoothingConfig {
 *         ConfigSchema.check(SmoothingConfig.class, windowLength);
 *     }
 * }
 * }</pre>
 *
 * <p>Immutable and thread-safe.
 *
 * @param <C> the record
 */
public final class ConfigSchema<C extends Record> {

    private static final ClassValue<List<ParameterInfo>> PARAMETERS =
            new ClassValue<>() {
                @Override
                protected List<ParameterInfo> computeValue(Class<?> type) {
                    return read(type);
                }
            };

    private final Class<C> type;
    private final List<ParameterInfo> parameters;

    private ConfigSchema(Class<C> type) {
        this.type = type;
        this.parameters = PARAMETERS.get(type);
    }

    /**
     * The schema of a config record.
     *
     * @param type the record class
     * @param <C> the record
     * @return its schema
     * @throws IllegalArgumentException if a component has no {@link Parameter}, a type that text
     *     cannot give, a range without values, or is optional but neither a double nor a String
     */
    public static <C extends Record> ConfigSchema<C> of(Class<C> type) {
        return new ConfigSchema<>(type);
    }

    /**
     * Checks the values of a config record; called from its compact constructor.
     *
     * @param type the record class
     * @param values its components, in order
     * @throws IllegalArgumentException naming the parameter, the value and what is allowed
     */
    public static void check(Class<? extends Record> type, Object... values) {
        List<ParameterInfo> parameters = PARAMETERS.get(type);
        if (values.length != parameters.size()) {
            throw new IllegalArgumentException(
                    type.getSimpleName()
                            + " checks "
                            + values.length
                            + " values of its "
                            + parameters.size()
                            + " components");
        }
        for (int i = 0; i < values.length; i++) {
            ParameterInfo parameter = parameters.get(i);
            if (!isAllowed(parameter, values[i])) {
                throw refusal(parameter, String.valueOf(values[i]));
            }
        }
    }

    /**
     * The record class.
     *
     * @return the class
     */
    public Class<C> type() {
        return type;
    }

    /**
     * The parameters, in the order of the components.
     *
     * @return an immutable list
     */
    public List<ParameterInfo> parameters() {
        return parameters;
    }

    /**
     * Changes parameters given as one line of text.
     *
     * @param base values of the parameters that the text does not name
     * @param text {@code name=value} pairs separated by commas, such as {@code window-length=2e-3,
     *     peak=spline}; empty or blank for no change. Values are in SI units. Space around names
     *     and values is dropped. A value cannot contain a comma here; {@link #parse(Record, Map)}
     *     takes any.
     * @return a new record
     * @throws IllegalArgumentException naming the parameter, the value, the unit and the range; for
     *     an unknown or repeated name, with the names there are
     */
    public C parse(C base, String text) {
        Map<String, String> values = new LinkedHashMap<>();
        if (!text.isBlank()) {
            for (String pair : text.split(",", -1)) {
                int equals = pair.indexOf('=');
                if (equals < 0) {
                    throw new IllegalArgumentException(
                            "parameter '"
                                    + pair.trim()
                                    + "' has no value; write name=value,"
                                    + " separated by commas");
                }
                String name = pair.substring(0, equals).trim();
                if (values.put(name, pair.substring(equals + 1).trim()) != null) {
                    throw new IllegalArgumentException(
                            "parameter '" + name + "' is given more than once");
                }
            }
        }
        return parse(base, values);
    }

    /**
     * Changes parameters given by name.
     *
     * @param base values of the parameters that are not named
     * @param values value texts by parameter name, taken as they stand
     * @return a new record
     * @throws IllegalArgumentException as {@link #parse(Record, String)}
     */
    public C parse(C base, Map<String, String> values) {
        for (String name : values.keySet()) {
            if (parameters.stream().noneMatch(p -> p.name().equals(name))) {
                throw new IllegalArgumentException(
                        "unknown parameter '"
                                + name
                                + "'; "
                                + (parameters.isEmpty()
                                        ? "there are none"
                                        : "there are: " + names()));
            }
        }
        Object[] components = values(base);
        for (int i = 0; i < components.length; i++) {
            String name = parameters.get(i).name();
            if (values.containsKey(name)) {
                components[i] = convert(parameters.get(i), values.get(name));
            }
        }
        return make(components);
    }

    /**
     * The parameters of a record by name, as text that {@link #parse(Record, Map)} turns into an
     * equal record.
     *
     * @param config the record
     * @return value texts by parameter name, in the order of the components
     */
    public Map<String, String> toText(C config) {
        Object[] values = values(config);
        Map<String, String> result = new LinkedHashMap<>();
        for (int i = 0; i < values.length; i++) {
            result.put(parameters.get(i).name(), toWord(values[i]));
        }
        return result;
    }

    private String names() {
        return parameters.stream().map(ParameterInfo::name).collect(Collectors.joining(", "));
    }

    private Object[] values(C config) {
        RecordComponent[] components = type.getRecordComponents();
        Object[] values = new Object[components.length];
        try {
            for (int i = 0; i < values.length; i++) {
                values[i] = components[i].getAccessor().invoke(config);
            }
        } catch (IllegalAccessException e) {
            throw notAccessible(e);
        } catch (InvocationTargetException e) {
            throw new IllegalStateException(e.getCause());
        }
        return values;
    }

    private C make(Object[] values) {
        RecordComponent[] components = type.getRecordComponents();
        Class<?>[] types = new Class<?>[components.length];
        for (int i = 0; i < types.length; i++) {
            types[i] = components[i].getType();
        }
        try {
            Constructor<C> constructor = type.getConstructor(types);
            return constructor.newInstance(values);
        } catch (NoSuchMethodException | IllegalAccessException | InstantiationException e) {
            throw notAccessible(e);
        } catch (InvocationTargetException e) {
            if (e.getCause() instanceof RuntimeException runtime) {
                throw runtime;
            }
            if (e.getCause() instanceof Error error) {
                throw error;
            }
            throw new IllegalStateException(e.getCause());
        }
    }

    private IllegalArgumentException notAccessible(ReflectiveOperationException cause) {
        return new IllegalArgumentException(
                "config record "
                        + type.getName()
                        + " cannot be reached; make it public, in a package that its module"
                        + " exports",
                cause);
    }

    private static boolean isAllowed(ParameterInfo parameter, Object value) {
        if (value == null) {
            return false;
        }
        if (value instanceof Number number) {
            double v = number.doubleValue();
            return Double.isNaN(v)
                    ? parameter.optional()
                    : Double.isFinite(v) && v >= parameter.min() && v <= parameter.max();
        }
        return !(value instanceof String text) || parameter.optional() || !text.isEmpty();
    }

    private static Object convert(ParameterInfo parameter, String text) {
        Object value = text == null ? null : valueOf(parameter, text);
        // Checked here as well, in case the record forgets to check itself.
        if (!isAllowed(parameter, value)) {
            throw refusal(parameter, text);
        }
        return value;
    }

    /** The value that a text stands for, or null if there is none. */
    private static Object valueOf(ParameterInfo parameter, String text) {
        Class<?> type = parameter.type();
        try {
            if (type == double.class) {
                return text.isEmpty() ? Double.NaN : Double.parseDouble(text);
            }
            if (type == int.class) {
                return Integer.parseInt(text);
            }
            if (type == long.class) {
                return Long.parseLong(text);
            }
        } catch (NumberFormatException e) {
            return null;
        }
        if (type == String.class) {
            return text;
        }
        int choice = parameter.choices().indexOf(text);
        if (choice < 0) {
            return null;
        }
        return type == boolean.class ? (Object) (choice == 0) : type.getEnumConstants()[choice];
    }

    private static IllegalArgumentException refusal(ParameterInfo parameter, String value) {
        String unit = parameter.unit().isEmpty() ? "" : " " + parameter.unit();
        return new IllegalArgumentException(
                "parameter '"
                        + parameter.name()
                        + "' is '"
                        + value
                        + "'"
                        + unit
                        + "; it must be "
                        + parameter.allowed()
                        + " ("
                        + parameter.meaning()
                        + ")");
    }

    private static List<ParameterInfo> read(Class<?> type) {
        if (!type.isRecord()) {
            throw new IllegalArgumentException(type.getName() + " is not a record");
        }
        List<ParameterInfo> result = new ArrayList<>();
        for (RecordComponent component : type.getRecordComponents()) {
            Parameter parameter = component.getAnnotation(Parameter.class);
            if (parameter == null) {
                throw misdeclared(component, "has no @Parameter");
            }
            result.add(read(component, parameter));
        }
        return List.copyOf(result);
    }

    private static ParameterInfo read(RecordComponent component, Parameter parameter) {
        Class<?> type = component.getType();
        List<String> choices = choices(component);
        // What the type cannot hold is not allowed either, and messages say so.
        double min = parameter.min();
        double max = parameter.max();
        if (type == int.class) {
            min = Math.max(min, Integer.MIN_VALUE);
            max = Math.min(max, Integer.MAX_VALUE);
        }
        if (!(min <= max)) {
            throw misdeclared(component, "has a range from " + min + " to " + max);
        }
        if (parameter.optional() && type != double.class && type != String.class) {
            throw misdeclared(component, "is optional, which only a double or a String can be");
        }
        return new ParameterInfo(
                hyphenated(component.getName()),
                type,
                parameter.unit(),
                min,
                max,
                parameter.optional(),
                parameter.meaning(),
                choices);
    }

    private static IllegalArgumentException misdeclared(RecordComponent component, String what) {
        return new IllegalArgumentException(
                "component '"
                        + component.getName()
                        + "' of "
                        + component.getDeclaringRecord().getName()
                        + " "
                        + what);
    }

    private static List<String> choices(RecordComponent component) {
        Class<?> type = component.getType();
        if (type == boolean.class) {
            return List.of("true", "false");
        }
        if (type.isEnum()) {
            List<String> words = new ArrayList<>();
            for (Object constant : type.getEnumConstants()) {
                words.add(toWord(constant));
            }
            return words;
        }
        if (type == int.class
                || type == long.class
                || type == double.class
                || type == String.class) {
            return List.of();
        }
        throw misdeclared(
                component,
                "is of type "
                        + type.getName()
                        + "; a parameter is an int, long, double, boolean, String or enum");
    }

    private static String toWord(Object value) {
        if (value instanceof Enum<?> constant) {
            return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
        }
        if (value instanceof Double number && number.isNaN()) {
            return "";
        }
        return String.valueOf(value);
    }

    private static String hyphenated(String camelCase) {
        StringBuilder text = new StringBuilder();
        for (char c : camelCase.toCharArray()) {
            if (Character.isUpperCase(c)) {
                text.append('-').append(Character.toLowerCase(c));
            } else {
                text.append(c);
            }
        }
        return text.toString();
    }
}
