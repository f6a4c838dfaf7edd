/** RF recordings as frame sources, and the results file. */
module org.elasto.recordings {
    requires transitive org.elasto.api;
}
