/** The workbench: strain pictures of recordings and phantoms from the command line. */
@SuppressWarnings("requires-automatic") // XChart brings no module descriptor
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

    uses org.elasto.api.plugin.FrameSourceProvider;
    uses org.elasto.api.plugin.DisplacementEstimatorProvider;
    uses org.elasto.api.plugin.StrainEstimatorProvider;

    // Picocli fills the fields of commands.
    opens org.elasto.compare to
            info.picocli;
}
