package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.signal.BasebandConverter;
import org.elasto.strain.picture.EchoPicture;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.StrainPicture;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** What every live view does for every frame whatever its estimators: one frame each. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class KernelBenchmark {

    /** Width of the band, as a share of the centre frequency. */
    private static final double BANDWIDTH = 0.8;

    private Workers threads;
    private RfFrame frame;
    private RfFrame copy;
    private BasebandConverter[] converters;
    private float[] re;
    private float[] im;
    private EchoPicture echo;
    private StrainImage strain;
    private StrainPicture drawer;
    private final Workers.Task task = this::convertLine;

    /**
     * Makes all kernels and what they work on.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        threads = scan.threads();
        frame = scan.frame(0);
        copy = scan.phantom().newFrame();
        ScanGeometry geometry = scan.geometry();
        double bandwidth = BANDWIDTH * geometry.centreFrequency();
        int decimation = BasebandConverter.decimationFor(geometry, bandwidth);
        converters = new BasebandConverter[scan.workers];
        for (int i = 0; i < converters.length; i++) {
            converters[i] = new BasebandConverter(geometry, bandwidth, decimation);
        }
        re = new float[geometry.lines() * converters[0].length()];
        im = new float[re.length];
        echo = new EchoPicture(PictureConfig.DEFAULTS, geometry, threads);
        makeStrain(scan);
    }

    private void makeStrain(Scan scan) {
        DisplacementEstimator tracker = Plugins.tracker(Plugins.PREFERRED, scan);
        StrainEstimator differentiator =
                Plugins.differentiator(Plugins.PREFERRED, tracker.layout(), scan);
        var field = tracker.newField();
        strain = differentiator.newImage();
        tracker.estimate(frame, scan.frame(1), field);
        differentiator.estimate(field, strain);
        drawer =
                new StrainPicture(
                        PictureConfig.schema().parse(PictureConfig.DEFAULTS, "largest-strain=0.01"),
                        strain.layout(),
                        threads);
    }

    /**
     * A frame copied as it is stored.
     *
     * @return the copy
     */
    @Benchmark
    public RfFrame copy() {
        copy.copyFrom(frame);
        return copy;
    }

    /**
     * A frame to baseband, 80 % of the centre frequency wide.
     *
     * @return real part
     */
    @Benchmark
    public float[] baseband() {
        threads.run(frame.geometry().lines(), task);
        return re;
    }

    private void convertLine(int line, int worker) {
        BasebandConverter converter = converters[worker];
        converter.convert(frame, line, re, im, line * converter.length(), null, 0);
    }

    /**
     * Brightness of the echoes of a frame.
     *
     * @return the levels
     */
    @Benchmark
    public float[] echoPicture() {
        echo.update(frame);
        return echo.levels();
    }

    /**
     * Echo and strain drawn as a picture.
     *
     * @return the picture
     */
    @Benchmark
    public Picture strainPicture() {
        return drawer.draw("Benchmark", frame, strain);
    }
}
