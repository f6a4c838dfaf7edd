package org.elasto.conformance;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.junit.jupiter.api.Test;
import org.junit.platform.engine.discovery.DiscoverySelectors;
import org.junit.platform.testkit.engine.EngineTestKit;

/** A check that compares nothing fails, and the kit runs as JUnit tests that are inherited. */
class TallyTest {

    @Test
    void nothingComparedIsAFailure() {
        AssertionError error = assertThrows(AssertionError.class, new Tally("idle")::finish);
        assertTrue(error.getMessage().contains("idle: nothing was compared"), error.getMessage());
    }

    @Test
    void notANumberIsAFailure() {
        Tally tally = new Tally("odd");
        tally.atMost("value", Double.NaN, 1, "seed 7");
        tally.atLeast("value", Double.NaN, 1, "seed 8");
        tally.between("value", Double.NaN, 0, 1, "seed 9");
        String message = assertThrows(AssertionError.class, tally::finish).getMessage();
        assertTrue(message.contains("odd: 3 of 3 comparisons did not hold"), message);
        assertTrue(message.contains("saw value NaN; expected at most 1.000 [seed 7]"), message);
    }

    @Test
    void whatHoldsPasses() {
        Tally tally = new Tally("fine");
        tally.atMost("value", 1, 1, "");
        tally.between("value", 0, 0, 1, "");
        assertDoesNotThrow(tally::finish);
    }

    /** Not found by the build itself: only what the test below selects is run. */
    static final class InventsPrecision extends DisplacementEstimatorConformance {
        @Override
        protected DisplacementEstimatorProvider<?> provider() {
            return SpoiltProvider.afterwards(
                    "invents-precision",
                    (reference, moved, out) -> {
                        for (int i = 0; i < out.axialDeviation().length; i++) {
                            out.axialDeviation()[i] *= 0.3f;
                        }
                    });
        }

        @Override
        protected DisplacementExpectations expectations() {
            return PlainPhaseProvider.STATED;
        }
    }

    @Test
    void checksAreInheritedAndRunByTheEngine() {
        Class<?> kit = InventsPrecision.class;
        var results =
                EngineTestKit.engine("junit-jupiter")
                        .selectors(
                                DiscoverySelectors.selectMethod(
                                        kit, "predictedDeviationsAgreeWithErrors"),
                                DiscoverySelectors.selectMethod(kit, "everyValueIsOverwritten"),
                                DiscoverySelectors.selectMethod(kit, "providerDescribesItself"))
                        .execute()
                        .testEvents();
        results.assertStatistics(s -> s.started(3).succeeded(2).failed(1));
        assertEquals(
                "predictedDeviationsAgreeWithErrors()",
                results.failed().list().get(0).getTestDescriptor().getDisplayName());
    }

    @Test
    void everyCheckCanBeInherited() {
        for (Class<?> kit :
                new Class<?>[] {
                    DisplacementEstimatorConformance.class,
                    StrainEstimatorConformance.class,
                    QualityMetricConformance.class,
                    FrameSourceConformance.class
                }) {
            long checks =
                    Arrays.stream(kit.getMethods())
                            .filter(m -> m.isAnnotationPresent(Test.class))
                            .count();
            assertTrue(checks >= 9, kit + " has " + checks);
        }
    }
}
