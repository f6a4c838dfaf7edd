package org.elasto.conformance;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicReference;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.config.NoParameters;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.junit.jupiter.api.Test;

/** The checked wrappers notice every breach; the faulty ones break what and when they are told. */
class WrappersTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(6, 600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final Scene scene = Scenes.noise(GEOMETRY, 30, 1, 2e-5, 5);
    private final PlainPhaseEstimator honest =
            new PlainPhaseEstimator(
                    new PlainPhaseProvider().defaults(), GEOMETRY, Workers.sequential());
    private final FieldLayout layout = honest.layout();
    private final StrainEstimator slope =
            new PlainSlopeProvider().create(new NoParameters(), layout, Workers.sequential());

    private CheckedDisplacementEstimator checked(SpoiltProvider.Afterwards afterwards) {
        return new CheckedDisplacementEstimator(
                SpoiltProvider.afterwards("spoilt", afterwards)
                        .create(
                                new PlainPhaseProvider().defaults(),
                                GEOMETRY,
                                Workers.sequential()));
    }

    private String violation(DisplacementEstimator estimator) {
        DisplacementField out = estimator.newField();
        return assertThrows(
                        ContractViolation.class,
                        () -> estimator.estimate(scene.referenceFrame(), scene.movedFrame(), out))
                .getMessage();
    }

    @Test
    void honestEstimatorIsLetThrough() {
        CheckedDisplacementEstimator estimator = new CheckedDisplacementEstimator(honest);
        DisplacementField out = estimator.newField();
        estimator.estimate(scene.referenceFrame(), scene.movedFrame(), out);
        assertNull(Bits.difference(out, DisplacementSubject.estimate(honest, scene)));
        assertEquals(1, estimator.calls());

        CheckedStrainEstimator strain = new CheckedStrainEstimator(slope, layout);
        StrainImage image = strain.newImage();
        strain.estimate(out, image);
        assertNull(Bits.difference(image, StrainSubject.estimate(slope, out, "")));
        assertEquals(1, strain.calls());
    }

    @Test
    void changedFrameIsNoticed() {
        String message =
                violation(
                        checked(
                                (reference, moved, out) ->
                                        moved.writeLine(2, new float[GEOMETRY.samples()], 0)));
        assertTrue(message.contains("changed the second frame"), message);
        message = violation(checked((reference, moved, out) -> reference.stamp(99, 0)));
        assertTrue(message.contains("changed the first frame"), message);
    }

    @Test
    void valueLeftOutIsNoticed() {
        DisplacementEstimator lazy =
                new SpoiltProvider.Wrapped(honest) {
                    @Override
                    public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
                        float before = out.axialDeviation()[40];
                        honest.estimate(reference, moved, out);
                        out.axialDeviation()[40] = before;
                    }
                };
        String message = violation(new CheckedDisplacementEstimator(lazy));
        String place = FieldRules.place(40, layout.grid().rows());
        assertTrue(message.contains("axial deviation at " + place + " was not written"), message);
    }

    @Test
    void halfKnownPlaceIsNoticed() {
        String message = violation(checked((reference, moved, out) -> out.correlation()[30] = 2));
        assertTrue(message.contains(" has correlation 2.0"), message);
    }

    @Test
    void wrongCallerIsNoticed() {
        CheckedDisplacementEstimator estimator = new CheckedDisplacementEstimator(honest);
        ScanGeometry other = ScanGeometry.linear(7, 600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        String message =
                assertThrows(
                                ContractViolation.class,
                                () ->
                                        estimator.estimate(
                                                scene.referenceFrame(),
                                                RfFrame.allocate(other, SampleType.INT16),
                                                estimator.newField()))
                        .getMessage();
        assertTrue(message.contains("the caller passed a second frame"), message);
        assertTrue(message.contains("lines=7") && message.contains("lines=6"), message);
    }

    @Test
    void secondThreadIsNoticed() throws InterruptedException {
        CountDownLatch inside = new CountDownLatch(1);
        CountDownLatch done = new CountDownLatch(1);
        CheckedDisplacementEstimator estimator =
                checked(
                        (reference, moved, out) -> {
                            inside.countDown();
                            await(done);
                        });
        AtomicReference<Throwable> thrown = new AtomicReference<>();
        Thread first =
                new Thread(
                        () ->
                                estimator.estimate(
                                        scene.referenceFrame(),
                                        scene.movedFrame(),
                                        estimator.newField()));
        first.setUncaughtExceptionHandler((thread, t) -> thrown.set(t));
        first.start();
        inside.await();
        String message = violation(estimator);
        done.countDown();
        first.join();
        assertTrue(message.contains("one thread at a time"), message);
        assertNull(thrown.get());
        // And it is free again.
        estimator.estimate(scene.referenceFrame(), scene.movedFrame(), estimator.newField());
    }

    private static void await(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }

    @Test
    void faultsComeWhenTheyAreTold() {
        FaultyDisplacementEstimator faulty =
                new FaultyDisplacementEstimator(honest)
                        .at(1, Fault.THROWS)
                        .at(2, Fault.UNKNOWN)
                        .at(3, Fault.HALF_KNOWN)
                        .at(4, Fault.WRONG_VALUES);
        DisplacementField right = DisplacementSubject.estimate(honest, scene);
        assertNull(Bits.difference(right, DisplacementSubject.estimate(faulty, scene)));
        DisplacementField out = faulty.newField();
        InjectedFault fault =
                assertThrows(
                        InjectedFault.class,
                        () -> faulty.estimate(scene.referenceFrame(), scene.movedFrame(), out));
        assertEquals("injected at call 1", fault.getMessage());
        DisplacementField unknown = DisplacementSubject.estimate(faulty, scene);
        assertNull(Bits.difference(new DisplacementField(layout), unknown));
        assertNotNull(FieldRules.firstHalfKnown(DisplacementSubject.estimate(faulty, scene)));
        DisplacementField wrong = DisplacementSubject.estimate(faulty, scene);
        assertNull(FieldRules.firstHalfKnown(wrong));
        assertEquals(FaultyDisplacementEstimator.WRONG, wrong.axial()[50]);
        assertNull(Bits.difference(right, DisplacementSubject.estimate(faulty, scene)));
        assertEquals(6, faulty.calls());
        assertTrue(
                assertThrows(IllegalArgumentException.class, () -> faulty.at(-1, Fault.UNKNOWN))
                        .getMessage()
                        .contains("counted from 0"));
    }

    @Test
    void strainFaultsComeWhenTheyAreToldAndAreNoticed() {
        DisplacementField field = DisplacementSubject.estimate(honest, scene);
        FaultyStrainEstimator faulty =
                new FaultyStrainEstimator(slope)
                        .at(0, Fault.HALF_KNOWN)
                        .at(1, Fault.THROWS)
                        .at(2, Fault.UNKNOWN)
                        .at(3, Fault.WRONG_VALUES);
        CheckedStrainEstimator checked = new CheckedStrainEstimator(faulty, layout);
        StrainImage out = checked.newImage();
        String message =
                assertThrows(ContractViolation.class, () -> checked.estimate(field, out))
                        .getMessage();
        assertTrue(message.contains("strain NaN"), message);
        assertThrows(InjectedFault.class, () -> checked.estimate(field, out));
        checked.estimate(field, out);
        assertTrue(Float.isNaN(out.axial()[50]) && !out.trusted()[50]);
        checked.estimate(field, out);
        assertEquals(FaultyStrainEstimator.WRONG, out.axial()[50]);
        assertEquals(4, faulty.calls());
        field.axialDeviation()[50] = Float.NaN;
        message =
                assertThrows(ContractViolation.class, () -> checked.estimate(field, out))
                        .getMessage();
        assertTrue(message.contains("the caller passed a field whose line "), message);
        assertFalse(message.isBlank());
    }
}
