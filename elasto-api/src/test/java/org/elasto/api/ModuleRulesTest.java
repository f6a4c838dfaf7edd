package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Function;
import org.elasto.api.ModuleRules.Finding;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Holds the rules over the whole tree, and holds the rules themselves to finding what is wrong. */
class ModuleRulesTest {

    /** The rules by name. */
    enum Rule {
        ROOT_IS_TIDY(ModuleRules::rootIsTidy),
        SERVICES_AGREE(ModuleRules::servicesAgree),
        RUNTIME_MODULES_STAY_PLAIN(ModuleRules::runtimeModulesStayPlain),
        RUNTIME_MODULES_REQUIRE_LITTLE(ModuleRules::runtimeModulesRequireLittle),
        TRACKING_AND_STRAIN_DO_NOT_MEET(ModuleRules::trackingAndStrainDoNotMeet),
        PACKAGES_ARE_DESCRIBED(ModuleRules::packagesAreDescribed),
        VERSIONS_STAND_IN_THE_ROOT(ModuleRules::versionsStandInTheRoot);

        private final Function<Path, Finding> check;

        Rule(Function<Path, Finding> check) {
            this.check = check;
        }
    }

    /** The source tree is known when the whole project is built, and not to a lone jar of tests. */
    @ParameterizedTest
    @EnumSource(Rule.class)
    void theTreeKeepsTheRule(Rule rule) {
        String root = System.getProperty("elasto.root");
        assumeTrue(root != null, "the system property elasto.root is not set");
        Finding finding = rule.check.apply(Path.of(root));
        System.out.println(rule + ": compared " + finding.compared());
        assertTrue(finding.compared() > 0, "nothing was compared");
        assertEquals(List.of(), finding.problems());
    }

    @TempDir Path root;

    /** A small tree in which all is well. */
    @BeforeEach
    void makeTree() throws IOException {
        write("pom.xml", "<project/>");
        write("README.md", "");
        write(".gitignore", "");
        write("target/left-over", "");
        for (String name : List.of("elasto-api", "elasto-tracking", "elasto-strain")) {
            write(name + "/pom.xml", "<parent><version>1</version></parent>");
            write(name + "/target/classes/X.java", "import java.awt.X;");
        }
        write("elasto-api/src/main/java/module-info.java", "module org.elasto.api {}");
        write(
                "elasto-tracking/src/main/java/module-info.java",
                """
                import org.elasto.api.plugin.DisplacementEstimatorProvider;
                // provides nothing with nothing;
                module org.elasto.tracking {
                    requires transitive org.elasto.api;
                    requires commons.math3;
                    provides DisplacementEstimatorProvider with
                            org.elasto.tracking.a.A,
                            org.elasto.tracking.a.B;
                }
                """);
        write(
                "elasto-tracking/src/main/java/org/elasto/tracking/a/package-info.java",
                "package a;");
        provider("A", "DisplacementEstimatorProvider");
        provider("B", "DisplacementEstimatorProvider");
        write(SERVICES, "# ours\norg.elasto.tracking.a.A\norg.elasto.tracking.a.B # second\n");
        write(
                "elasto-strain/src/main/java/module-info.java",
                "module org.elasto.strain { requires transitive org.elasto.api; }");
    }

    private static final String SERVICES =
            "elasto-tracking/src/main/resources/META-INF/services/"
                    + "org.elasto.api.plugin.DisplacementEstimatorProvider";

    private void provider(String name, String contract) throws IOException {
        write(
                "elasto-tracking/src/main/java/org/elasto/tracking/a/" + name + ".java",
                "package org.elasto.tracking.a;\n/** See org.elasto.strain. */\npublic final class "
                        + name
                        + "\n        implements "
                        + contract
                        + "<X> {}\n");
    }

    private void write(String file, String text) throws IOException {
        Path path = root.resolve(file);
        Files.createDirectories(path.getParent());
        Files.writeString(path, text);
    }

    @ParameterizedTest
    @EnumSource(Rule.class)
    void aGoodTreePasses(Rule rule) {
        Finding finding = rule.check.apply(root);
        assertEquals(List.of(), finding.problems());
        int expected =
                switch (rule) {
                    case ROOT_IS_TIDY -> 5;
                    case SERVICES_AGREE -> 2;
                    case RUNTIME_MODULES_STAY_PLAIN -> 6;
                    case RUNTIME_MODULES_REQUIRE_LITTLE -> 3;
                    case TRACKING_AND_STRAIN_DO_NOT_MEET -> 5;
                    case PACKAGES_ARE_DESCRIBED -> 1;
                    case VERSIONS_STAND_IN_THE_ROOT -> 3;
                };
        assertEquals(expected, finding.compared());
    }

    private void finds(Rule rule, String... problems) {
        List<String> found = rule.check.apply(root).problems();
        assertEquals(problems.length, found.size(), found.toString());
        for (int i = 0; i < problems.length; i++) {
            assertTrue(found.get(i).contains(problems[i]), found.get(i));
        }
    }

    @Test
    void whatTheReadmeCommandsWriteIsNoStranger() throws IOException {
        write(".gitignore", "target/\n*.class\n/strain-pictures/\n");
        write("strain-pictures/pair.png", "");
        write("target/classes/any", "");
        finds(Rule.ROOT_IS_TIDY);
        write("pictures/pair.png", "");
        finds(Rule.ROOT_IS_TIDY, "pictures has no place");
    }

    @Test
    void strangersInTheRootAreFound() throws IOException {
        write("notes.txt", "");
        write("docs/index.md", "");
        finds(Rule.ROOT_IS_TIDY, "docs has no place", "notes.txt has no place");
    }

    @Test
    void providersNotListedAreFound() throws IOException {
        write(SERVICES, "org.elasto.tracking.a.A\n");
        finds(Rule.SERVICES_AGREE, "META-INF/services does not list");
    }

    @Test
    void providersNotProvidedAreFound() throws IOException {
        write(SERVICES, "org.elasto.tracking.a.A\norg.elasto.tracking.a.B\nother.C\n");
        finds(Rule.SERVICES_AGREE, "module-info does not provide org.elasto.api.plugin.Displace");
    }

    @Test
    void providersForgottenInBothPlacesAreFound() throws IOException {
        provider("C", "QualityMetricProvider");
        finds(
                Rule.SERVICES_AGREE,
                "module-info does not provide org.elasto.api.plugin.QualityMetricProvider by"
                        + " org.elasto.tracking.a.C",
                "META-INF/services does not list org.elasto.api.plugin.QualityMetricProvider");
    }

    @Test
    void aProviderUnderTheWrongContractIsFound() throws IOException {
        provider("B", "StrainEstimatorProvider");
        finds(
                Rule.SERVICES_AGREE,
                "module-info does not provide org.elasto.api.plugin.StrainEstimatorProvider",
                "META-INF/services does not list org.elasto.api.plugin.StrainEstimatorProvider");
    }

    @Test
    void whatHasNoPlaceAtRunTimeIsFound() throws IOException {
        write(
                "elasto-strain/src/main/java/org/elasto/strain/P.java",
                "import java.awt.Color;\nimport javax.swing.X;\nimport java.util.logging.L;\n"
                        + "void m() { System.out.println(); f.setAccessible(true); }");
        finds(
                Rule.RUNTIME_MODULES_STAY_PLAIN,
                "java.awt",
                "javax.",
                "java.util.logging",
                "System.out",
                "setAccessible");
    }

    @Test
    void requirementsBeyondTheFewAreFound() throws IOException {
        write(
                "elasto-strain/src/main/java/module-info.java",
                "module s { requires java.desktop; requires static org.elasto.tracking; }");
        write(
                "elasto-api/src/main/java/module-info.java",
                "module a { requires transitive commons.math3; }");
        finds(
                Rule.RUNTIME_MODULES_REQUIRE_LITTLE,
                "elasto-api requires commons.math3",
                "elasto-strain requires java.desktop",
                "elasto-strain requires org.elasto.tracking");
    }

    @Test
    void trackingAndStrainThatMeetAreFound() throws IOException {
        write("elasto-tracking/src/test/java/T.java", "import org.elasto.strain.S;");
        write("elasto-strain/src/main/java/S.java", "import org.elasto.tracking.T;");
        finds(
                Rule.TRACKING_AND_STRAIN_DO_NOT_MEET,
                "T.java knows org.elasto.strain",
                "S.java knows org.elasto.tracking");
    }

    @Test
    void packagesWithoutDescriptionAreFound() throws IOException {
        write("elasto-bench/elasto-x/src/main/java/module-info.java", "module x {}");
        write("elasto-bench/elasto-x/src/main/java/x/y/Z.java", "package x.y;");
        finds(Rule.PACKAGES_ARE_DESCRIBED, "y has no package-info.java");
    }

    @Test
    void versionsOutsideTheRootAreFound() throws IOException {
        write("elasto-api/pom.xml", "<version>1</version><version>2</version>");
        finds(Rule.VERSIONS_STAND_IN_THE_ROOT, "elasto-api: its pom.xml has a version");
    }
}
