/** Synthetic RF frames with exactly known motion: a frame source for tests and comparisons. */
module org.elasto.phantoms {
    requires transitive org.elasto.api;
}
