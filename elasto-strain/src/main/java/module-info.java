/** Strain estimators and quality metrics (plugins), the live session, and pictures. */
module org.elasto.strain {
    requires transitive org.elasto.api;
}
