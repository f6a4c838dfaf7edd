/** From two RF frames to strain in a few lines. */
module org.elasto.samples.first {
    requires org.elasto.tracking;
    requires org.elasto.strain;
    requires org.elasto.phantoms;
}
