/** The workbench: pictures, phantoms, comparisons and their reports from the command line. */
@SuppressWarnings("requires-automatic") // XChart and tomlj bring no module descriptors
module org.elasto.compare {
    requires org.elasto.api;
    requires org.elasto.tracking;
    requires org.elasto.strain;
    requires org.elasto.phantoms;
    requires org.elasto.recordings;
    requires info.picocli;
    requires java.desktop;
    requires org.knowm.xchart;
    requires me.tongfei.progressbar;
    requires org.tomlj;

    uses org.elasto.api.plugin.FrameSourceProvider;
    uses org.elasto.api.plugin.DisplacementEstimatorProvider;
    uses org.elasto.api.plugin.StrainEstimatorProvider;
    uses org.elasto.api.plugin.QualityMetricProvider;

    // Picocli fills the fields of commands.
    opens org.elasto.compare to
            info.picocli;
}
