package org.elasto.peers.opencv;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.peers.FlowTracker;
import org.opencv.core.CvType;
import org.opencv.core.Mat;
import org.opencv.video.DISOpticalFlow;
import org.opencv.video.Video;

/** Hands both images, in 8 bits as the library asks, over; it has as many threads as workers. */
final class OpenCvFlowTracker extends FlowTracker {

    private final OpenCvFlow method;
    private final int workers;
    private final int samples;
    private final byte[] bytes;
    private final float[] found;
    private final Mat first;
    private final Mat second;
    private final Mat flow;
    private final DISOpticalFlow inverseSearch;

    OpenCvFlowTracker(OpenCvFlowConfig config, ScanGeometry geometry, Workers workers) {
        super(config.input(), geometry);
        method = config.method();
        this.workers = workers.count();
        samples = geometry.samples();
        Native.threads(this.workers);
        bytes = new byte[geometry.lines() * samples];
        found = new float[2 * bytes.length];
        first = new Mat(geometry.lines(), samples, CvType.CV_8UC1);
        second = new Mat(geometry.lines(), samples, CvType.CV_8UC1);
        flow = new Mat();
        inverseSearch =
                DISOpticalFlow.create(
                        method == OpenCvFlow.INVERSE_SEARCH_FAST
                                ? DISOpticalFlow.PRESET_FAST
                                : DISOpticalFlow.PRESET_MEDIUM);
    }

    @Override
    protected void flow(float[] from, float[] to) {
        Native.threads(workers);
        fill(first, from);
        fill(second, to);
        if (method == OpenCvFlow.POLYNOMIAL) {
            Video.calcOpticalFlowFarneback(first, second, flow, 0.5, 4, 21, 5, 7, 1.5, 0);
        } else {
            inverseSearch.calc(first, second, flow);
        }
        flow.get(0, 0, found);
    }

    private void fill(Mat image, float[] pixels) {
        for (int i = 0; i < pixels.length; i++) {
            bytes[i] = (byte) (pixels[i] + 0.5f);
        }
        image.put(0, 0, bytes);
    }

    @Override
    protected float flowAt(int line, int sample) {
        return found[2 * (line * samples + sample)];
    }
}
