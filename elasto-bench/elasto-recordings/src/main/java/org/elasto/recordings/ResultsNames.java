package org.elasto.recordings;

import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.Collectors;

/** Names of the data sets and attributes of a results file; the format's only definition. */
final class ResultsNames {

    static final String PAIRS = "pairs";
    static final String DEPTH = "depth_m";
    static final String LATERAL = "lateral_m";
    static final String AXIAL_DISPLACEMENT = "axial_displacement_m";
    static final String LATERAL_DISPLACEMENT = "lateral_displacement_m";
    static final String DISPLACEMENT_DEVIATION = "displacement_deviation_m";
    static final String CORRELATION = "correlation";
    static final String STRAIN_DEPTH = "strain_depth_m";
    static final String AXIAL_STRAIN = "axial_strain";
    static final String STRAIN_DEVIATION = "strain_deviation";
    static final String TRUSTED = "trusted";

    static final String LIBRARY_VERSION = "library_version";
    static final String SOURCE = "source_name";
    static final String DISPLACEMENT_ESTIMATOR = "displacement_estimator";
    static final String DISPLACEMENT_PARAMETERS = "displacement_parameters";
    static final String STRAIN_ESTIMATOR = "strain_estimator";
    static final String STRAIN_PARAMETERS = "strain_parameters";
    static final String LINES = "lines";
    static final String SAMPLES = "samples";
    static final String ROW_SPACING = "row_spacing_m";
    static final String STRAIN_ROW_SPACING = "strain_row_spacing_m";
    static final String STRAIN_RESOLUTION = "strain_resolution_m";
    static final String STRAIN_LATERAL = "lateral_strain_estimated";
    static final String ERROR_SHAPE = "displacement_error_shape";
    static final String ERROR_LENGTH = "displacement_error_length_m";
    static final String ERROR_SHAPE_ACROSS = "displacement_error_shape_across_lines";
    static final String ERROR_LENGTH_ACROSS = "displacement_error_length_across_lines_m";
    static final String LATERAL_ERROR_SHAPE = "displacement_error_shape_across";
    static final String LATERAL_ERROR_LENGTH = "displacement_error_width_m";

    private ResultsNames() {}

    /** Parameters as one text, {@code name=value} in lines of their own. */
    static String text(Map<String, String> parameters) {
        return parameters.entrySet().stream()
                .map(entry -> entry.getKey() + "=" + entry.getValue())
                .collect(Collectors.joining("\n"));
    }

    /** Inverse of {@link #text}. */
    static Map<String, String> parameters(String text) {
        Map<String, String> result = new LinkedHashMap<>();
        Arrays.stream(text.split("\n"))
                .filter(line -> !line.isEmpty())
                .map(line -> line.split("=", 2))
                .forEach(pair -> result.put(pair[0], pair.length < 2 ? "" : pair[1]));
        return result;
    }
}
