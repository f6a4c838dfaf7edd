/** A window that shows strain live. */
module org.elasto.samples.live {
    requires org.elasto.api;
    requires org.elasto.tracking;
    requires org.elasto.strain;
    requires org.elasto.phantoms;
    requires org.elasto.recordings;
    requires java.desktop;

    uses org.elasto.api.plugin.DisplacementEstimatorProvider;
    uses org.elasto.api.plugin.StrainEstimatorProvider;
    uses org.elasto.api.plugin.FrameSourceProvider;
}
