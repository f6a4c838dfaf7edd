/** Displacement estimators: plugins that track tissue from one RF frame to another. */
module org.elasto.tracking {
    requires transitive org.elasto.api;
}
