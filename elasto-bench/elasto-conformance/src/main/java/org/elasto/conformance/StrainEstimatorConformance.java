package org.elasto.conformance;

import java.util.function.Consumer;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.junit.jupiter.api.Test;

/**
 * What every strain estimator holds to. Extend it, return the provider, and state with {@link
 * #expectations} what the method can do; the checks are inherited and run with JUnit 5.
 *
 * <p>Displacement fields are made up by formula; their errors go together along a line as the
 * field's layout states, and are independent from line to line.
 */
public abstract class StrainEstimatorConformance {

    /** For subclasses. */
    protected StrainEstimatorConformance() {}

    /**
     * The provider under test.
     *
     * @return the provider
     */
    protected abstract StrainEstimatorProvider<?> provider();

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
     * @return by default {@link StrainExpectations#DEFAULTS}
     */
    protected StrainExpectations expectations() {
        return StrainExpectations.DEFAULTS;
    }

    /**
     * The fields that most checks use, on a linear scan.
     *
     * @return by default 28 lines, 0.3 mm apart, of 200 rows, 0.15 mm apart, with lateral
     *     displacement and the errors of Gaussian windows of 2.1 mm
     */
    protected FieldLayout layout() {
        return new FieldLayout(
                ScanGeometry.linear(28, 1600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                new RowGrid(200, 0, 0.15e-3),
                true,
                new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2.1e-3));
    }

    private StrainSubject subject() {
        return new StrainSubject(provider(), parameters(), layout(), expectations());
    }

    private void run(String check, Consumer<Tally> body) {
        Tally tally = new Tally(provider().name() + ", " + check);
        body.accept(tally);
        tally.finish();
    }

    private StrainValueChecks values() {
        return new StrainValueChecks(subject());
    }

    private StrainContractChecks contract() {
        return new StrainContractChecks(subject());
    }

    private ProviderChecks providerChecks() {
        return new ProviderChecks(provider(), StrainEstimatorProvider.class);
    }

    /** Displacement linear in depth gives its slope, with its sign, at whatever offset. */
    @Test
    public final void linearDisplacementGivesItsSlope() {
        run("linear displacement", values()::linear);
    }

    /** The same displacement everywhere is no strain. */
    @Test
    public final void evenDisplacementIsNoStrain() {
        run("even displacement", values()::constant);
    }

    /** Displacements linear in both directions give lateral and shear strain, where offered. */
    @Test
    public final void lateralAndShearStrainComeBack() {
        run("lateral and shear strain", values()::lateral);
    }

    /**
     * Twice the displacement and its deviation: twice the strain and its deviation; for a method
     * with a scale of its own, twice the displacement alone.
     */
    @Test
    public final void strainScalesWithDisplacement() {
        run("scaling", values()::scaling);
    }

    /** Holes are bridged exactly or left open; where nothing is known nothing is invented. */
    @Test
    public final void unknownDisplacementIsNotInvented() {
        run("unknown displacement", values()::unknownCells);
    }

    /** Strain and deviation are known together, and nothing unknown is trusted. */
    @Test
    public final void noPlaceIsHalfKnown() {
        run("half-known places", values()::whollyKnown);
    }

    /** Errors seen over deviations predicted: about 1, for every correlation of errors. */
    @Test
    public final void predictedDeviationsAgreeWithErrors() {
        run("predicted deviations", values()::predictedDeviations);
    }

    /** A step of strain is blurred over the stated depth and stays where it is. */
    @Test
    public final void resolutionIsAsStated() {
        run("resolution", values()::resolution);
    }

    /** First line last: the image is mirrored. */
    @Test
    public final void mirroringTheLinesMirrorsTheImage() {
        run("lines mirrored", values()::mirror);
    }

    /** The field stays as it is. */
    @Test
    public final void inputsAreNotModified() {
        run("inputs", contract()::inputsUnmodified);
    }

    /** Nothing of what was in the image before is left. */
    @Test
    public final void everyValueIsOverwritten() {
        run("overwriting", contract()::overwritten);
    }

    /** An image keeps its values, and a call does not depend on the calls before it. */
    @Test
    public final void callsDoNotDependOnEachOther() {
        run("repeated calls", contract()::repeatable);
    }

    /** Once warm, a call takes nothing from the heap. */
    @Test
    public final void nothingIsAllocated() {
        run("allocation", contract()::noAllocation);
    }

    /** The same bits for 1, 2 and 5 workers and on an executor. */
    @Test
    public final void workersDoNotMatter() {
        run("workers", contract()::workers);
    }

    /** The image has the field's lines, and its rows lie within the field. */
    @Test
    public final void layoutFitsTheField() {
        run("layout", contract()::layout);
    }

    /** Fields and images of other shapes are refused with both sizes. */
    @Test
    public final void otherShapesAreRefused() {
        run("other shapes", contract()::wrongShapes);
    }

    /** Convex, one line, fine rows, coarse rows, hardly any rows: each works or is refused. */
    @Test
    public final void differentLayoutsInARowWorkOrAreRefused() {
        run("different layouts", contract()::layoutsInARow);
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
                tally -> providerChecks().registration(tally, Catalogue.strainEstimators()));
    }
}
