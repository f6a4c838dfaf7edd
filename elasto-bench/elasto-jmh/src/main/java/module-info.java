/** Measures time: benchmarks, their comparison, and the latency of the live session. */
@SuppressWarnings("requires-automatic")
module org.elasto.jmh {
    requires org.elasto.api;
    requires org.elasto.tracking;
    requires org.elasto.strain;
    requires org.elasto.phantoms;
    requires org.elasto.peers;
    requires info.picocli;
    requires jmh.core;
    requires com.fasterxml.jackson.databind;
    requires HdrHistogram;
    requires commons.math3;
    requires java.management;
    requires jdk.management;
    requires jdk.unsupported; // what JMH generates asks for it

    uses org.elasto.api.plugin.DisplacementEstimatorProvider;
    uses org.elasto.api.plugin.StrainEstimatorProvider;
    uses org.elasto.api.plugin.QualityMetricProvider;

    opens org.elasto.jmh.benchmark to
            jmh.core;

    // Picocli fills the fields of commands.
    opens org.elasto.jmh to
            info.picocli;
}
