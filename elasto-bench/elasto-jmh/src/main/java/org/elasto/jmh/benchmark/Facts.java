package org.elasto.jmh.benchmark;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.DoubleSupplier;
import org.elasto.api.DisplacementField;
import org.elasto.phantoms.DisplacementError;
import org.elasto.phantoms.Phantom;

/**
 * What is known of a benchmark besides its time, such as its error against the phantom's truth.
 * {@link FloorProfiler} puts it into the results. Benchmarks run one at a time in a process of
 * their own, hence one place for all.
 */
final class Facts {

    private static final Map<String, DoubleSupplier> ALL = new LinkedHashMap<>();

    private Facts() {}

    /** States a fact: worked out when an iteration has ended, in the unit that its name says. */
    static synchronized void put(String name, DoubleSupplier value) {
        ALL.put(name, value);
    }

    /** States how far a field from frame 0 to 1 is from the truth. */
    static void putError(Phantom phantom, DisplacementField field) {
        DisplacementError error =
                DisplacementError.of(field, phantom.truth(0, 1, field.layout().grid()));
        put("error-um", () -> error.rootMeanSquare() * 1e6);
        put("known-percent", () -> error.knownShare() * 100);
    }

    static synchronized Map<String, DoubleSupplier> all() {
        return Map.copyOf(ALL);
    }
}
