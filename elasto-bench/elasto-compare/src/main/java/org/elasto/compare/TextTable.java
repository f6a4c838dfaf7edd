package org.elasto.compare;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.tomlj.Toml;
import org.tomlj.TomlArray;
import org.tomlj.TomlParseResult;
import org.tomlj.TomlPosition;
import org.tomlj.TomlTable;

/**
 * A table of a TOML file, read strictly: what is asked for is known, everything else is an error
 * that says where it stands and what there is.
 */
final class TextTable {

    private final Path file;
    private final TomlTable table;
    private final String where;
    private final TreeSet<String> known = new TreeSet<>();

    private TextTable(Path file, TomlTable table, String where) {
        this.file = file;
        this.table = table;
        this.where = where;
    }

    /** Reads a file. */
    static TextTable read(Path file) throws IOException {
        if (!Files.exists(file)) {
            throw new NoSuchFileException(file.toString(), null, "there is no such file");
        }
        if (Files.isDirectory(file)) {
            throw new IOException(file + ": expected a text file (TOML), found a folder");
        }
        TomlParseResult result;
        try {
            result = Toml.parse(file);
        } catch (CharacterCodingException e) {
            throw new IOException(file + ": expected text in UTF-8, found other bytes", e);
        }
        if (result.hasErrors()) {
            var first = result.errors().get(0);
            throw new IOException(
                    file
                            + ": line "
                            + first.position().line()
                            + ", column "
                            + first.position().column()
                            + ": "
                            + first.getMessage());
        }
        return new TextTable(file, result, "");
    }

    Path file() {
        return file;
    }

    boolean has(String key) {
        known.add(key);
        return value(key) != null;
    }

    private Object value(String key) {
        known.add(key);
        return table.get(List.of(key));
    }

    /** A text; with null for otherwise, one that must be there. */
    String text(String key, String otherwise) {
        Object value = value(key);
        if (value == null && otherwise != null) {
            return otherwise;
        }
        if (value instanceof String text) {
            return text;
        }
        throw wrong(key, "a text in quotation marks", value);
    }

    /** True or false. */
    boolean flag(String key, boolean otherwise) {
        Object value = value(key);
        if (value != null && !(value instanceof Boolean)) {
            throw wrong(key, "true or false", value);
        }
        return value == null ? otherwise : (Boolean) value;
    }

    /** Any single value as text. */
    String word(String key) {
        Object value = value(key);
        if (value == null || value instanceof TomlTable || value instanceof TomlArray) {
            throw wrong(key, "one value", value);
        }
        return value.toString();
    }

    /** A number; with null for otherwise, one that must be there. */
    double number(String key, Double otherwise) {
        Object value = value(key);
        if (value == null && otherwise != null) {
            return otherwise;
        }
        if (value instanceof Number number) {
            return number.doubleValue();
        }
        throw wrong(key, "a number", value);
    }

    /** A whole number; with null for otherwise, one that must be there. */
    int whole(String key, Integer otherwise) {
        double value = number(key, otherwise == null ? null : (double) otherwise);
        if (value != Math.rint(value) || Math.abs(value) > Integer.MAX_VALUE) {
            throw wrong(key, "a whole number", value);
        }
        return (int) value;
    }

    /** Numbers in brackets; none if the key is not there. */
    double[] numbers(String key) {
        Object value = value(key);
        if (value == null) {
            return new double[0];
        }
        List<Object> items = value instanceof TomlArray array ? array.toList() : List.of(value);
        double[] numbers = new double[items.size()];
        for (int i = 0; i < numbers.length; i++) {
            if (!(items.get(i) instanceof Number number)) {
                throw wrong(key, "numbers in brackets", items.get(i));
            }
            numbers[i] = number.doubleValue();
        }
        return numbers;
    }

    /** The tables {@code [[key]]}; none if there are none. */
    List<TextTable> tables(String key) {
        Object value = value(key);
        List<TextTable> tables = new ArrayList<>();
        if (value instanceof TomlArray array) {
            for (int i = 0; i < array.size(); i++) {
                if (!(array.get(i) instanceof TomlTable inner)) {
                    throw wrong(key, "tables [[" + key + "]]", array.get(i));
                }
                tables.add(new TextTable(file, inner, " in [[" + key + "]] number " + (i + 1)));
            }
        } else if (value != null) {
            throw wrong(key, "tables [[" + key + "]]", value);
        }
        return tables;
    }

    /** The table of a key; null if it is not there. */
    TextTable table(String key) {
        Object value = value(key);
        if (value != null && !(value instanceof TomlTable)) {
            throw wrong(key, "a table", value);
        }
        return value == null ? null : new TextTable(file, (TomlTable) value, where + ", " + key);
    }

    /** Every key of this table with the one or several values it has, as text. */
    Map<String, List<String>> values() {
        Map<String, List<String>> result = new LinkedHashMap<>();
        List<String> keys = new ArrayList<>(table.keySet());
        keys.sort((a, b) -> compare(position(a), position(b)));
        for (String key : keys) {
            Object value = value(key);
            List<Object> items = value instanceof TomlArray array ? array.toList() : List.of(value);
            List<String> texts = new ArrayList<>();
            for (Object item : items) {
                if (item instanceof TomlTable || item instanceof TomlArray) {
                    throw wrong(key, "a value, or several in brackets", item);
                }
                texts.add(item.toString());
            }
            if (texts.isEmpty()) {
                throw wrong(key, "at least one value", "none");
            }
            result.put(key, texts);
        }
        return result;
    }

    private static int compare(TomlPosition a, TomlPosition b) {
        return a.line() != b.line() ? a.line() - b.line() : a.column() - b.column();
    }

    private TomlPosition position(String key) {
        return table.inputPositionOf(List.of(key));
    }

    /** Refuses keys that nobody asked for. */
    void noMore() {
        for (String key : table.keySet()) {
            if (!known.contains(key)) {
                throw new IllegalArgumentException(
                        place(key)
                                + "unknown word '"
                                + key
                                + "'"
                                + where
                                + "; there are: "
                                + String.join(", ", known));
            }
        }
    }

    private String place(String key) {
        TomlPosition position = position(key);
        return file + ": " + (position == null ? "" : "line " + position.line() + ": ");
    }

    /** What is wrong with a value. */
    IllegalArgumentException wrong(String key, String expected, Object found) {
        return new IllegalArgumentException(
                place(key)
                        + key
                        + where
                        + ": expected "
                        + expected
                        + ", found "
                        + (found == null ? "none" : "'" + found + "'"));
    }

    /** The same, for what a key's value led to. */
    IllegalArgumentException wrong(String key, Exception cause) {
        return new IllegalArgumentException(place(key) + cause.getMessage(), cause);
    }
}
