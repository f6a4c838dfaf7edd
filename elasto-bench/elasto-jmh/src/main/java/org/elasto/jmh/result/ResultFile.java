package org.elasto.jmh.result;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.elasto.jmh.benchmark.FloorProfiler;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.results.format.ResultFormatFactory;
import org.openjdk.jmh.results.format.ResultFormatType;

/** Results of a run in the JSON format of JMH. Stateless and thread-safe. */
public final class ResultFile {

    private static final ObjectMapper JSON = new ObjectMapper();

    private ResultFile() {}

    /**
     * Writes results. Where the Java machine lies is left out: it is nobody's business.
     *
     * @param results what JMH gave
     * @param file where to
     * @throws IOException if it cannot be written
     */
    public static void write(Collection<RunResult> results, Path file) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (PrintStream out = new PrintStream(bytes, false, StandardCharsets.UTF_8)) {
            ResultFormatFactory.getInstance(ResultFormatType.JSON, out).writeOut(results);
        }
        JsonNode all = JSON.readTree(bytes.toByteArray());
        for (JsonNode each : all) {
            ((ObjectNode) each).put("jvm", "java");
            ((ObjectNode) each).putArray("jvmArgs");
        }
        Files.writeString(
                file,
                JSON.writerWithDefaultPrettyPrinter().writeValueAsString(all) + "\n",
                StandardCharsets.UTF_8);
    }

    /**
     * Reads results.
     *
     * @param file where from
     * @return what was measured, in the order of the file
     * @throws IOException if it cannot be read or is no such file, with what is missing and where
     */
    public static List<Timing> read(Path file) throws IOException {
        JsonNode all;
        try {
            all = JSON.readTree(Files.readAllBytes(file));
        } catch (JsonProcessingException e) {
            throw new IOException(file + " is no JSON: " + e.getOriginalMessage(), e);
        }
        if (!all.isArray()) {
            throw new IOException(file + " holds no list of benchmarks, as JMH writes it");
        }
        List<Timing> timings = new ArrayList<>();
        for (int i = 0; i < all.size(); i++) {
            timings.add(timing(all.get(i), file + ", entry " + i));
        }
        return timings;
    }

    private static Timing timing(JsonNode entry, String where) throws IOException {
        String unit = child(child(entry, "primaryMetric", where), "scoreUnit", where).asText();
        if (!unit.equals("ms/op")) {
            throw new IOException(where + ": the unit is '" + unit + "'; it must be 'ms/op'");
        }
        JsonNode others = child(entry, "secondaryMetrics", where);
        double[][] times = raw(entry.get("primaryMetric"), where);
        double[][] floor = raw(child(others, FloorProfiler.FLOOR, where), where);
        if (times.length != floor.length) {
            throw new IOException(where + ": forks of the floor and of the benchmark differ");
        }
        for (int fork = 0; fork < times.length; fork++) {
            if (times[fork].length != floor[fork].length) {
                throw new IOException(
                        where + ": iterations of the floor and of the benchmark differ");
            }
        }
        Map<String, Double> facts = new TreeMap<>();
        others.fields()
                .forEachRemaining(
                        e -> facts.put(e.getKey(), e.getValue().path("score").asDouble()));
        Map<String, String> parameters = new LinkedHashMap<>();
        child(entry, "params", where)
                .fields()
                .forEachRemaining(e -> parameters.put(e.getKey(), e.getValue().asText()));
        String size = required(parameters.remove("size"), "size", where);
        String workers = required(parameters.remove("workers"), "workers", where);
        if (!size.matches("[0-9]{1,5}x[0-9]{1,5}") || !workers.matches("[0-9]{1,4}")) {
            throw new IOException(
                    where + ": size or workers are '" + size + "', '" + workers + "'");
        }
        return new Timing(
                name(child(entry, "benchmark", where).asText()),
                size,
                Integer.parseInt(workers),
                String.join(" ", parameters.values()),
                times,
                floor,
                facts);
    }

    /** From {@code org.elasto.jmh.benchmark.FloorBenchmark.floor} to {@code Floor.floor}. */
    private static String name(String benchmark) {
        int method = benchmark.lastIndexOf('.');
        int type = benchmark.lastIndexOf('.', method - 1);
        return benchmark.substring(type + 1).replaceFirst("Benchmark\\.", ".");
    }

    private static String required(String parameter, String name, String where) throws IOException {
        if (parameter == null) {
            throw new IOException(where + ": the parameter '" + name + "' is missing");
        }
        return parameter;
    }

    private static JsonNode child(JsonNode parent, String name, String where) throws IOException {
        JsonNode child = parent.get(name);
        if (child == null) {
            throw new IOException(where + ": '" + name + "' is missing");
        }
        return child;
    }

    private static double[][] raw(JsonNode metric, String where) throws IOException {
        JsonNode forks = child(metric, "rawData", where);
        double[][] raw = new double[forks.size()][];
        for (int fork = 0; fork < raw.length; fork++) {
            JsonNode iterations = forks.get(fork);
            raw[fork] = new double[iterations.size()];
            for (int i = 0; i < raw[fork].length; i++) {
                raw[fork][i] = iterations.get(i).asDouble();
                if (!(raw[fork][i] > 0)) {
                    throw new IOException(
                            where + ": a time is " + iterations.get(i) + "; it must be above 0");
                }
            }
        }
        if (raw.length == 0 || raw[0].length == 0) {
            throw new IOException(where + ": there is no raw data");
        }
        return raw;
    }
}
