package org.elasto.peers.boofcv;

import boofcv.abst.flow.DenseOpticalFlow;
import boofcv.alg.flow.ConfigBroxWarping;
import boofcv.concurrency.BoofConcurrency;
import boofcv.factory.flow.ConfigHornSchunckPyramid;
import boofcv.factory.flow.FactoryDenseOpticalFlow;
import boofcv.struct.flow.ImageFlow;
import boofcv.struct.image.GrayF32;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.peers.FlowTracker;

/** Hands both images to the library, which may use as many threads as there are workers. */
final class BoofFlowTracker extends FlowTracker {

    private final int workers;
    private final DenseOpticalFlow<GrayF32> method;
    private final GrayF32 first;
    private final GrayF32 second;
    private final ImageFlow flow;

    BoofFlowTracker(BoofFlowConfig config, ScanGeometry geometry, Workers workers) {
        super(config.input(), geometry);
        this.workers = workers.count();
        first = new GrayF32(geometry.samples(), geometry.lines());
        second = new GrayF32(geometry.samples(), geometry.lines());
        flow = new ImageFlow(geometry.samples(), geometry.lines());
        method =
                switch (config.method()) {
                    case HORN_SCHUNCK_PYRAMID ->
                            FactoryDenseOpticalFlow.hornSchunckPyramid(
                                    new ConfigHornSchunckPyramid(), GrayF32.class);
                    case BROX_WARPING ->
                            FactoryDenseOpticalFlow.broxWarping(
                                    new ConfigBroxWarping(), GrayF32.class);
                };
    }

    @Override
    protected void flow(float[] from, float[] to) {
        BoofConcurrency.USE_CONCURRENT = workers > 1;
        BoofConcurrency.setMaxThreads(workers);
        System.arraycopy(from, 0, first.data, 0, from.length);
        System.arraycopy(to, 0, second.data, 0, to.length);
        method.process(first, second, flow);
    }

    @Override
    protected float flowAt(int line, int sample) {
        ImageFlow.D found = flow.unsafe_get(sample, line);
        return found.isValid() ? found.x : Float.NaN;
    }
}
