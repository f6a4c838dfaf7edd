package org.elasto.api.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;
import net.jqwik.api.constraints.NotEmpty;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ConfigSchemaTest {

    /** Words of an enum. */
    public enum Peak {
        PARABOLA,
        COSINE_FIT,
        SPLINE {
            // A constant with a body has a class of its own.
            @Override
            public String toString() {
                return "something else";
            }
        }
    }

    /** One component of every kind. */
    public record Everything(
            @Parameter(meaning = "depth of the window", unit = "m", min = 1e-4, max = 1e-2)
                    double windowLength,
            @Parameter(meaning = "greatest strain", min = 0, optional = true) double maxStrain,
            @Parameter(meaning = "passes", min = 1, max = 9) int passes,
            @Parameter(meaning = "seed") long seed,
            @Parameter(meaning = "whether to smooth") boolean smooth,
            @Parameter(meaning = "peak fit") Peak peak,
            @Parameter(meaning = "label") String label,
            @Parameter(meaning = "remark", optional = true) String freeText) {
        public Everything {
            ConfigSchema.check(
                    Everything.class,
                    windowLength,
                    maxStrain,
                    passes,
                    seed,
                    smooth,
                    peak,
                    label,
                    freeText);
        }
    }

    private static final ConfigSchema<Everything> SCHEMA = ConfigSchema.of(Everything.class);

    private static final Everything BASE =
            new Everything(2e-3, Double.NaN, 3, 42, true, Peak.COSINE_FIT, "plain", "");

    private static final String NAMES =
            "window-length, max-strain, passes, seed, smooth, peak, label, free-text";

    @Test
    void parametersAreWhatTheRecordSays() {
        assertSame(Everything.class, SCHEMA.type());
        assertEquals(
                NAMES,
                SCHEMA.parameters().stream()
                        .map(ParameterInfo::name)
                        .collect(Collectors.joining(", ")));
        ParameterInfo window = SCHEMA.parameters().get(0);
        assertEquals(
                new ParameterInfo(
                        "window-length",
                        double.class,
                        "m",
                        1e-4,
                        1e-2,
                        false,
                        "depth of the window",
                        List.of()),
                window);
        assertThrows(UnsupportedOperationException.class, () -> SCHEMA.parameters().remove(window));
    }

    @ParameterizedTest
    @CsvSource({
        "0, 'a number from 1.0E-4 to 0.01 m'",
        "1, 'a number of at least 0.0, or left open'",
        "2, 'a whole number from 1 to 9'",
        "3, 'a whole number'",
        "4, 'one of true, false'",
        "5, 'one of parabola, cosine-fit, spline'",
        "6, 'text of at least one character'",
        "7, 'text, or left open'"
    })
    void whatIsAllowedIsSaid(int parameter, String allowed) {
        assertEquals(allowed, SCHEMA.parameters().get(parameter).allowed());
    }

    @Test
    void nothingNamedChangesNothing() {
        assertEquals(BASE, SCHEMA.parse(BASE, ""));
        assertEquals(BASE, SCHEMA.parse(BASE, "  "));
        assertEquals(BASE, SCHEMA.parse(BASE, Map.of()));
    }

    @Test
    void namedParametersChange() {
        assertEquals(
                new Everything(1e-3, 0.5, 9, -1, false, Peak.SPLINE, "a = b", ""),
                SCHEMA.parse(
                        BASE,
                        " window-length = 1e-3 ,max-strain=0.5, passes=9,seed=-1, smooth=false,"
                                + "peak=spline,label = a = b ,free-text="));
    }

    @Test
    void textOfEveryParameterInOrder() {
        Map<String, String> text = SCHEMA.toText(BASE);
        assertEquals(NAMES, String.join(", ", text.keySet()));
        assertEquals(
                List.of("0.002", "", "3", "42", "true", "cosine-fit", "plain", ""),
                List.copyOf(text.values()));
    }

    /** Any allowed record comes back from its text, whatever record the text is applied to. */
    @Property(seed = "1", tries = 300)
    void textGivesTheRecordBack(
            @ForAll @Scale(9) @DoubleRange(min = 1e-4, max = 1e-2) double windowLength,
            @ForAll @Scale(6) @DoubleRange(min = 0, max = 1e6) double maxStrain,
            @ForAll boolean open,
            @ForAll @IntRange(min = 1, max = 9) int passes,
            @ForAll @LongRange long seed,
            @ForAll boolean smooth,
            @ForAll Peak peak,
            @ForAll @NotEmpty String label,
            @ForAll String freeText) {
        Everything config =
                new Everything(
                        windowLength,
                        open ? Double.NaN : maxStrain,
                        passes,
                        seed,
                        smooth,
                        peak,
                        label,
                        freeText);
        assertEquals(config, SCHEMA.parse(BASE, SCHEMA.toText(config)));
    }

    /** The one-line form as well, as long as texts have no comma and no space around them. */
    @Property(seed = "2", tries = 200)
    void oneLineGivesTheRecordBack(
            @ForAll @Scale(9) @DoubleRange(min = 1e-4, max = 1e-2) double windowLength,
            @ForAll boolean smooth,
            @ForAll Peak peak,
            @ForAll @NotEmpty String label) {
        String word = "x" + label.replace(',', ';') + "x";
        Everything config = new Everything(windowLength, Double.NaN, 2, 7, smooth, peak, word, "");
        String line =
                SCHEMA.toText(config).entrySet().stream()
                        .map(entry -> entry.getKey() + "=" + entry.getValue())
                        .collect(Collectors.joining(", "));
        assertEquals(config, SCHEMA.parse(BASE, line));
    }

    @Test
    void aTextWithACommaNeedsTheMap() {
        refused(
                "parameter 'b' has no value; write name=value, separated by commas",
                () -> SCHEMA.parse(BASE, "label=a,b"));
        assertEquals("a,b", SCHEMA.parse(BASE, Map.of("label", "a,b")).label());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "window-length=5e-5|parameter 'window-length' is '5e-5' m; it must be a number from"
                        + " 1.0E-4 to 0.01 m (depth of the window)",
                "window-length=0.02|parameter 'window-length' is '0.02' m; it must be a number"
                        + " from",
                "window-length=NaN|parameter 'window-length' is 'NaN' m; it must be a number from",
                "window-length=|parameter 'window-length' is '' m; it must be a number from",
                "window-length=2 mm|parameter 'window-length' is '2 mm' m; it must be a number",
                "window-length=0,002|parameter '002' has no value",
                "max-strain=-0.1|parameter 'max-strain' is '-0.1'; it must be a number of at least"
                        + " 0.0, or left open (greatest strain)",
                "max-strain=Infinity|parameter 'max-strain' is 'Infinity'",
                "max-strain=1e999|parameter 'max-strain' is '1e999'",
                "passes=0|parameter 'passes' is '0'; it must be a whole number from 1 to 9",
                "passes=2.5|parameter 'passes' is '2.5'; it must be a whole number from 1 to 9",
                "passes=|parameter 'passes' is ''; it must be a whole number",
                "passes=4294967297|parameter 'passes' is '4294967297'; it must be a whole number",
                "seed=9223372036854775808|parameter 'seed' is '9223372036854775808'; it must be",
                "smooth=yes|parameter 'smooth' is 'yes'; it must be one of true, false (whether",
                "smooth=True|parameter 'smooth' is 'True'; it must be one of true, false",
                "peak=sharp|parameter 'peak' is 'sharp'; it must be one of parabola, cosine-fit,"
                        + " spline (peak fit)",
                "peak=COSINE_FIT|parameter 'peak' is 'COSINE_FIT'; it must be one of parabola",
                "label=|parameter 'label' is ''; it must be text of at least one character",
                "windowLength=1e-3|unknown parameter 'windowLength'; there are: " + NAMES,
                "=1|unknown parameter ''; there are: ",
                "passes=2,passes=2|parameter 'passes' is given more than once",
                "passes|parameter 'passes' has no value; write name=value, separated by commas",
                "passes=2,|parameter '' has no value",
                ",|parameter '' has no value"
            })
    void badTextIsRefusedByNameValueAndRange(String text, String message) {
        refused(message, () -> SCHEMA.parse(BASE, text));
    }

    @Test
    void aMissingValueInAMapIsRefused() {
        Map<String, String> values = new HashMap<>(Collections.singletonMap("passes", null));
        refused("parameter 'passes' is 'null'", () -> SCHEMA.parse(BASE, values));
        refused("unknown parameter 'pass'", () -> SCHEMA.parse(BASE, Map.of("pass", "2")));
    }

    @Test
    void badRecordsCannotBeMadeAtAll() {
        refused("parameter 'window-length' is 'NaN' m", () -> with(Double.NaN, 1, 3, Peak.SPLINE));
        refused("parameter 'window-length' is '1.0' m", () -> with(1, 1, 3, Peak.SPLINE));
        refused(
                "parameter 'max-strain' is 'Infinity'",
                () -> with(1e-3, Double.POSITIVE_INFINITY, 3, Peak.SPLINE));
        refused("parameter 'passes' is '10'", () -> with(1e-3, 1, 10, Peak.SPLINE));
        refused("parameter 'peak' is 'null'", () -> with(1e-3, 1, 3, null));
        assertEquals(3, with(1e-4, 0, 3, Peak.SPLINE).passes());
        assertEquals(9, with(1e-2, Double.NaN, 9, Peak.SPLINE).passes());
    }

    private static Everything with(double windowLength, double maxStrain, int passes, Peak peak) {
        return new Everything(windowLength, maxStrain, passes, 1, true, peak, "x", "");
    }

    /** In Turkish, a lower-case I has no dot. */
    @Test
    void wordsDoNotDependOnTheLocale() {
        Locale before = Locale.getDefault();
        try {
            Locale.setDefault(Locale.forLanguageTag("tr-TR"));
            assertEquals("cosine-fit", SCHEMA.toText(BASE).get("peak"));
            assertEquals(
                    "one of title-i", ConfigSchema.of(Titled.class).parameters().get(0).allowed());
            assertEquals("large-index", ConfigSchema.of(Titled.class).parameters().get(1).name());
        } finally {
            Locale.setDefault(before);
        }
    }

    /** A word with the letter in question. */
    public enum Title {
        TITLE_I
    }

    /** Names with the letter in question. */
    public record Titled(
            @Parameter(meaning = "title") Title title,
            @Parameter(meaning = "index", min = 1) int largeIndex) {}

    /** A record that forgets to check itself is checked when it comes from text. */
    @Test
    void textIsCheckedEvenIfTheRecordIsNot() {
        ConfigSchema<Titled> schema = ConfigSchema.of(Titled.class);
        Titled base = new Titled(Title.TITLE_I, 1);
        refused(
                "parameter 'large-index' is '0'; it must be a whole number from 1 to 2147483647",
                () -> schema.parse(base, "large-index=0"));
        assertEquals(2, schema.parse(base, "large-index=2").largeIndex());
    }

    @Test
    void noParametersAreNoParameters() {
        ConfigSchema<NoParameters> schema = ConfigSchema.of(NoParameters.class);
        assertEquals(new NoParameters(), schema.parse(new NoParameters(), ""));
        assertEquals(Map.of(), schema.toText(new NoParameters()));
        refused(
                "unknown parameter 'a'; there are none",
                () -> schema.parse(new NoParameters(), "a=1"));
    }

    record Hidden(@Parameter(meaning = "a number") double number) {}

    /** Without annotation. */
    public record Bare(double number) {}

    /** With a type that text cannot give. */
    public record Unsupported(@Parameter(meaning = "numbers") float[] numbers) {}

    /** Optional, but nothing can stand for being left open. */
    public record OptionalInt(@Parameter(meaning = "count", optional = true) int count) {}

    /** A range the wrong way round. */
    public record Backwards(@Parameter(meaning = "size", min = 2, max = 1) double size) {}

    /** A range that an int cannot reach. */
    public record TooHigh(@Parameter(meaning = "size", min = 1e10) int size) {}

    @Test
    void misdeclaredRecordsAreRefused() {
        refused(
                "component 'number' of " + Bare.class.getName() + " has no @Parameter",
                () -> ConfigSchema.of(Bare.class));
        refused(
                "component 'numbers' of "
                        + Unsupported.class.getName()
                        + " is of type [F; a parameter is an int, long, double, boolean, String or"
                        + " enum",
                () -> ConfigSchema.of(Unsupported.class));
        refused("is optional, which only a double", () -> ConfigSchema.of(OptionalInt.class));
        refused("has a range from 2.0 to 1.0", () -> ConfigSchema.of(Backwards.class));
        refused("has a range from 1.0E10", () -> ConfigSchema.of(TooHigh.class));
    }

    @Test
    void recordsThatCannotBeReachedAreRefused() {
        ConfigSchema<Hidden> schema = ConfigSchema.of(Hidden.class);
        String message = "cannot be reached; make it public, in a package that its module exports";
        refused(message, () -> schema.parse(new Hidden(1), "number=2"));
    }

    @Test
    void aCheckOfTheWrongNumberOfValuesIsRefused() {
        refused(
                "Titled checks 1 values of its 2 components",
                () -> ConfigSchema.check(Titled.class, Title.TITLE_I));
    }

    /** Checks more than its ranges can say. */
    public record Pair(
            @Parameter(meaning = "low") double low, @Parameter(meaning = "high") double high) {
        public Pair {
            ConfigSchema.check(Pair.class, low, high);
            if (low > high) {
                throw new IllegalArgumentException("low is above high");
            }
        }
    }

    @Test
    void whatTheRecordItselfThrowsIsPassedOn() {
        ConfigSchema<Pair> schema = ConfigSchema.of(Pair.class);
        refused("low is above high", () -> schema.parse(new Pair(1, 2), "low=3"));
        assertEquals(new Pair(3, 4), schema.parse(new Pair(1, 2), "low=3,high=4"));
    }

    private static void refused(String message, Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }
}
