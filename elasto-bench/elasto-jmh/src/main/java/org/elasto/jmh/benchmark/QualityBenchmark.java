package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.StrainEstimator;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** A quality metric, with its map, on what the preferred estimators made of a pair. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class QualityBenchmark {

    /** Which one; the command line gives every name of the catalogue. */
    @Param("match-correlation")
    public String metric;

    private QualityMetric judge;
    private RfFrame first;
    private RfFrame second;
    private DisplacementField field;
    private StrainImage image;
    private float[] map;

    /**
     * Makes the metric and what it judges.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        first = scan.frame(0);
        second = scan.frame(1);
        DisplacementEstimator tracker = Plugins.tracker(Plugins.PREFERRED, scan);
        StrainEstimator differentiator =
                Plugins.differentiator(Plugins.PREFERRED, tracker.layout(), scan);
        field = tracker.newField();
        image = differentiator.newImage();
        tracker.estimate(first, second, field);
        differentiator.estimate(field, image);
        judge = Plugins.metric(metric, field.layout(), image.layout(), scan);
        map = judge.hasMap() ? new float[image.layout().planeSize()] : null;
    }

    /**
     * One pair.
     *
     * @return the score
     */
    @Benchmark
    public double score() {
        return judge.score(first, second, field, image, map);
    }
}
