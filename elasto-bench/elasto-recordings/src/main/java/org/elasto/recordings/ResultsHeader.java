package org.elasto.recordings;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;

/**
 * What a results file says about itself. Immutable and thread-safe.
 *
 * @param libraryVersion version of the library that made the results
 * @param sourceName name of the frame source
 * @param field layout of the displacement fields
 * @param strain layout of the strain images, on the same lines
 * @param displacementEstimator name of the displacement estimator's provider
 * @param displacementParameters its parameters, value texts by name
 * @param strainEstimator name of the strain estimator's provider
 * @param strainParameters its parameters, value texts by name
 */
public record ResultsHeader(
        String libraryVersion,
        String sourceName,
        FieldLayout field,
        StrainLayout strain,
        String displacementEstimator,
        Map<String, String> displacementParameters,
        String strainEstimator,
        Map<String, String> strainParameters) {

    public ResultsHeader {
        Objects.requireNonNull(libraryVersion, "library version is missing");
        Objects.requireNonNull(sourceName, "source name is missing");
        Objects.requireNonNull(displacementEstimator, "displacement estimator is missing");
        Objects.requireNonNull(strainEstimator, "strain estimator is missing");
        Check.same("scan geometry of the strain images", strain.geometry(), field.geometry());
        displacementParameters =
                Collections.unmodifiableMap(new LinkedHashMap<>(displacementParameters));
        strainParameters = Collections.unmodifiableMap(new LinkedHashMap<>(strainParameters));
    }
}
