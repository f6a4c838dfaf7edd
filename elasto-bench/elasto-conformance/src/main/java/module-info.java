/**
 * The conformance kit: whoever writes a plugin extends one class, names the provider, and inherits
 * the checks. Also wrappers for tests of whatever uses estimators.
 */
module org.elasto.conformance {
    requires transitive org.elasto.api;
    requires transitive org.junit.jupiter.api;
    requires org.elasto.phantoms;
    requires java.management;
    requires jdk.management;

    exports org.elasto.conformance;
}
