package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** A strain estimator on a field of the preferred displacement estimator. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class StrainBenchmark {

    /** Which one; the command line gives every name of the catalogue. */
    @Param(Plugins.PREFERRED)
    public String differentiator;

    private StrainEstimator estimator;
    private DisplacementField field;
    private StrainImage image;

    /**
     * Makes the estimator and a field.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        DisplacementEstimator tracker = Plugins.tracker(Plugins.PREFERRED, scan);
        field = tracker.newField();
        tracker.estimate(scan.frame(0), scan.frame(1), field);
        estimator = Plugins.differentiator(differentiator, tracker.layout(), scan);
        image = estimator.newImage();
    }

    /**
     * One field.
     *
     * @return the strain
     */
    @Benchmark
    public StrainImage strain() {
        estimator.estimate(field, image);
        return image;
    }
}
