package org.elasto.conformance;

import java.util.function.Consumer;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.junit.jupiter.api.Test;

/**
 * What every displacement estimator holds to. Extend it, return the provider, and state with {@link
 * #expectations} what the method can do; the checks are inherited and run with JUnit 5.
 *
 * <p>Precision is judged by the estimator's own windows: their depth as the field's layout states
 * it, their width as stated, against the Cram&eacute;r-Rao bound (Walker and Trahey, IEEE Trans
 * UFFC 42(2):301-308, 1995) on flat-band noise whose lines are independent, and in absolute terms
 * on phantoms of speckle. Places within a window of the ends and a window's width of the sides are
 * left out there. A field in which little is known does not pass.
 */
public abstract class DisplacementEstimatorConformance {

    /** For subclasses. */
    protected DisplacementEstimatorConformance() {}

    /**
     * The provider under test.
     *
     * @return the provider
     */
    protected abstract DisplacementEstimatorProvider<?> provider();

    /**
     * Parameters that differ from the defaults.
     *
     * @return as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}; by default
     *     none
     */
    protected String parameters() {
        return "";
    }

    /**
     * What the method can do.
     *
     * @return by default {@link DisplacementExpectations#DEFAULTS}
     */
    protected DisplacementExpectations expectations() {
        return DisplacementExpectations.DEFAULTS;
    }

    /**
     * The scan that most checks use: linear, at least five windows deep and three wide.
     *
     * @return by default 32 lines, 0.3 mm apart, of 1100 samples at 40 MHz: 21 mm; 7.5 MHz
     */
    protected ScanGeometry geometry() {
        return ScanGeometry.linear(32, 1100, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    }

    private DisplacementSubject subject() {
        return new DisplacementSubject(provider(), parameters(), geometry(), expectations());
    }

    private void run(String check, Consumer<Tally> body) {
        Tally tally = new Tally(provider().name() + ", " + check);
        body.accept(tally);
        tally.finish();
    }

    private DisplacementAccuracyChecks accuracy() {
        return new DisplacementAccuracyChecks(subject());
    }

    private DisplacementInvarianceChecks invariance() {
        return new DisplacementInvarianceChecks(subject());
    }

    private DisplacementTrustChecks trust() {
        return new DisplacementTrustChecks(subject());
    }

    private DisplacementContractChecks contract() {
        return new DisplacementContractChecks(subject());
    }

    private ProviderChecks providerChecks() {
        return new ProviderChecks(provider(), DisplacementEstimatorProvider.class);
    }

    /** Two equal frames show no motion, anywhere, beyond what is stated. */
    @Test
    public final void zeroMotionGivesZero() {
        run("zero motion", accuracy()::zeroMotion);
    }

    /** Known shifts at 10 to 40 dB: within the stated multiple of the Cramér-Rao bound. */
    @Test
    public final void shiftsComeBackNearTheBound() {
        run("known shifts", accuracy()::shiftsNearTheBound);
    }

    /** The same where echoes have partly changed. */
    @Test
    public final void shiftsOfChangedEchoesComeBackNearTheBound() {
        run("known shifts of changed echoes", accuracy()::decorrelatedShiftsNearTheBound);
    }

    /** Even press and release of speckle: within the stated error. */
    @Test
    public final void pressComesBack() {
        run("even press", accuracy()::press);
    }

    /** Press, sideways drift, noise and partly changed speckle together. */
    @Test
    public final void mixtureComesBack() {
        run("mixture", accuracy()::mixture);
    }

    /** Sideways drift of half a line leaves the axial motion right, and comes back if estimated. */
    @Test
    public final void sidewaysDriftComesBackOrDoesNoHarm() {
        run("sideways drift", accuracy()::sidewaysDrift);
    }

    /** At nearly the largest stated displacement no cycle is mistaken for another. */
    @Test
    public final void grossErrorsAreRare() {
        run("gross errors", accuracy()::grossErrors);
    }

    /** Errors seen over deviations predicted, at several levels of noise: about 1. */
    @Test
    public final void predictedDeviationsAgreeWithErrors() {
        run("predicted deviations", accuracy()::predictedDeviations);
    }

    /** Errors at two depths of a line go together as the field's layout states. */
    @Test
    public final void errorsGoTogetherAsStated() {
        run("correlation of errors", accuracy()::errorCorrelation);
    }

    /** Both frames moved in depth: the field moves with them and is otherwise the same. */
    @Test
    public final void shiftingBothFramesInDepthShiftsTheField() {
        run("both frames moved in depth", invariance()::depth);
    }

    /** First line last: the field is mirrored, lateral displacement changes its sign. */
    @Test
    public final void mirroringTheLinesMirrorsTheField() {
        run("lines mirrored", invariance()::mirror);
    }

    /** The gain of both frames changes nothing beyond rounding. */
    @Test
    public final void gainChangesNothing() {
        run("gain", invariance()::gain);
    }

    /** The sign of both frames changes nothing beyond rounding. */
    @Test
    public final void signOfBothFramesChangesNothing() {
        run("sign of both frames", invariance()::sign);
    }

    /** From the second frame to the first, everything moves back. */
    @Test
    public final void swappingTheFramesFlipsTheSign() {
        run("frames swapped", invariance()::swap);
    }

    /** NaN and infinities: unknown there, untouched elsewhere. */
    @Test
    public final void badSamplesAreUnknown() {
        run("bad samples", trust()::badSamples);
    }

    /** No echo: unknown there, untouched elsewhere. */
    @Test
    public final void silenceIsUnknown() {
        run("silence", trust()::silence);
    }

    /** Samples at the end of the scale: unknown, or right where the timing is still there. */
    @Test
    public final void saturationIsUnknownOrRight() {
        run("saturation", trust()::saturation);
    }

    /** Two frames that have nothing in common: hardly anything is called known. */
    @Test
    public final void independentNoiseIsUnknown() {
        run("independent noise", trust()::independentNoise);
    }

    /** Lines with air before them in one frame: hardly anything is called known there. */
    @Test
    public final void lostContactIsUnknown() {
        run("lost contact", trust()::lostContact);
    }

    /** Behind bone hardly anything is called known; before it all is as usual. */
    @Test
    public final void behindBoneIsUnknown() {
        run("bone", trust()::bone);
    }

    /** Every place is wholly known or wholly unknown, whatever the frames. */
    @Test
    public final void noPlaceIsHalfKnown() {
        run("half-known places", trust()::halfKnown);
    }

    /** Finite samples beyond all measure: no exception, and no place half known. */
    @Test
    public final void hugeSamplesDoNoHarm() {
        run("huge samples", trust()::hugeSamples);
    }

    /** Frames and what lies around them in memory stay as they are. */
    @Test
    public final void inputsAreNotModified() {
        run("inputs", contract()::inputsUnmodified);
    }

    /** Nothing of what was in the field before is left. */
    @Test
    public final void everyValueIsOverwritten() {
        run("overwriting", contract()::overwritten);
    }

    /** A field keeps its values, and a call does not depend on the calls before it. */
    @Test
    public final void callsDoNotDependOnEachOther() {
        run("repeated calls", contract()::repeatable);
    }

    /** Frames whose memory is filled again are read again. */
    @Test
    public final void framesAreNotKept() {
        run("frames not kept", contract()::framesNotKept);
    }

    /** Once warm, a call takes nothing from the heap. */
    @Test
    public final void nothingIsAllocated() {
        run("allocation", contract()::noAllocation);
    }

    /** For estimators that can hold frames: the same bits from held ones, in any order. */
    @Test
    public final void heldFramesGiveTheSame() {
        run("held frames", new HeldFramesChecks(subject())::heldFrames);
    }

    /** Each frame with a storage type, padding and stride of its own: the same bits. */
    @Test
    public final void storageOfSamplesDoesNotMatter() {
        run("storage of samples", contract()::storage);
    }

    /** The same bits for 1, 2 and 5 workers and on an executor. */
    @Test
    public final void workersDoNotMatter() {
        run("workers", contract()::workers);
    }

    /** Two estimators at work at the same time do not disturb each other. */
    @Test
    public final void estimatorsSideBySideDoNotMatter() {
        run("two estimators at the same time", contract()::sideBySide);
    }

    /** The layout is that of the geometry, and its rows lie within the frame. */
    @Test
    public final void layoutFitsTheGeometry() {
        run("layout", contract()::layout);
    }

    /** Frames and fields of other shapes are refused with both sizes. */
    @Test
    public final void otherShapesAreRefused() {
        run("other shapes", contract()::wrongShapes);
    }

    /** Tall, wide, convex, coarse, fine, one line, next to nothing: each works or is refused. */
    @Test
    public final void differentGeometriesInARowWorkOrAreRefused() {
        run("different geometries", contract()::geometriesInARow);
    }

    /** Every parameter at either end of its range, and every choice, works or is refused. */
    @Test
    public final void limitsOfParametersWorkOrAreRefused() {
        run("limits of parameters", contract()::parameterLimits);
    }

    /** Name, summary, source, and what is said of each parameter. */
    @Test
    public final void providerDescribesItself() {
        run("self-description", providerChecks()::selfDescription);
    }

    /** Config to text and back; wrong text is refused in words. */
    @Test
    public final void configSurvivesText() {
        run("config as text", providerChecks()::parameters);
    }

    /** The service loader finds the provider on class path and module path. */
    @Test
    public final void providerIsRegistered() {
        run(
                "registration",
                tally -> providerChecks().registration(tally, Catalogue.displacementEstimators()));
    }
}
