/** A stand-in for scanner software, with strain imaging built in. */
@SuppressWarnings("requires-automatic") // HdrHistogram brings no module descriptor
module org.elasto.samples.embedding {
    requires org.elasto.tracking;
    requires org.elasto.strain;
    requires org.elasto.phantoms;
    requires java.management;
    requires jdk.management;
    requires HdrHistogram;
}
