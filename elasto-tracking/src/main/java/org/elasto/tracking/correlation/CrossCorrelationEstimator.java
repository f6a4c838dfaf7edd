package org.elasto.tracking.correlation;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.signal.BasebandConverter;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.MatchJudge;

/** See {@link CrossCorrelationProvider}. */
final class CrossCorrelationEstimator implements DisplacementEstimator {

    private final CrossCorrelationConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int samples;
    private final int rows;
    private final int rowSamples;
    private final int halfWindow;
    private final int rowStep;
    private final BasebandFrame reference;
    private final BasebandFrame moved;
    private final CoarseSearch coarse;
    private final MatchJudge judge;

    /** Displacement (m) of every baseband sample: first the coarse one, then that of the rows. */
    private final float[] displacement;

    private final boolean[] complete;
    private final LineCorrelator[] correlators;
    private final Workers.Task correlate = this::correlateLine;
    private RfFrame first;
    private RfFrame second;

    CrossCorrelationEstimator(
            CrossCorrelationConfig config, ScanGeometry geometry, Workers workers) {
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        double band = config.bandwidth() * geometry.centreFrequency();
        int decimation = BasebandConverter.decimationFor(geometry, band);
        reference = new BasebandFrame(geometry, band, decimation, workers);
        moved = new BasebandFrame(geometry, band, decimation, workers);
        coarse = new CoarseSearch(geometry, reference, band, config.searchRange(), workers);
        lines = geometry.lines();
        samples = geometry.samples();
        double spacing = reference.spacing;
        rowStep = Math.max(1, (int) Math.round(config.rowSpacing() / spacing));
        rowSamples = rowStep * decimation;
        halfWindow = (int) Math.round((config.windowLength() / geometry.sampleSpacing() - 1) / 2);
        double windowLength = (2 * halfWindow + 1) * geometry.sampleSpacing();
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        false,
                        new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, windowLength));
        rows = layout.grid().rows();
        judge =
                new MatchJudge(
                        geometry,
                        reference,
                        GaussianWindow.ofLength(windowLength / spacing, reference.length),
                        GaussianWindow.ofLength(0, 0),
                        rowStep,
                        config.minimumCorrelation(),
                        workers);
        displacement = new float[lines * reference.length];
        complete = new boolean[lines * rows];
        correlators = new LineCorrelator[workers.count()];
        for (int i = 0; i < correlators.length; i++) {
            correlators[i] = new LineCorrelator(geometry, band, halfWindow, config.peak());
        }
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    public void estimate(RfFrame referenceFrame, RfFrame movedFrame, DisplacementField out) {
        Check.same("geometry of the first frame", referenceFrame.geometry(), geometry);
        Check.same("geometry of the second frame", movedFrame.geometry(), geometry);
        Check.same("layout of the field", out.layout(), layout);
        reference.load(referenceFrame);
        moved.load(movedFrame);
        coarse.search(reference, moved, displacement);
        first = referenceFrame;
        second = movedFrame;
        workers.run(lines, correlate);
        first = null;
        second = null;
        judge.judge(reference, moved, displacement, null, out);
        for (int i = 0; i < complete.length; i++) {
            if (!complete[i]) {
                out.markUnknown(i);
            }
        }
    }

    private void correlateLine(int line, int worker) {
        LineCorrelator correlator = correlators[worker];
        correlator.load(first, second, line);
        double spacing = geometry.sampleSpacing();
        int length = reference.length;
        int at = line * length;
        float before = displacement[at];
        for (int row = 0; row < rows; row++) {
            int n = at + row * rowStep;
            float start = displacement[n];
            int lag = (int) Math.rint(start / spacing);
            double found = correlator.displacement(row * rowSamples, lag);
            complete[line * rows + row] = !Double.isNaN(found);
            float here = Double.isNaN(found) ? start : (float) (found * spacing);
            // Between rows the displacement runs straight.
            for (int k = 1; k <= rowStep && row > 0; k++) {
                displacement[n - rowStep + k] = before + (here - before) * k / rowStep;
            }
            displacement[n] = here;
            before = here;
        }
        for (int n = at + (rows - 1) * rowStep + 1; n < at + length; n++) {
            displacement[n] = before;
        }
    }
}
