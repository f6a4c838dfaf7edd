package org.elasto.peers.opencv;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.peers.TemplateConfig;
import org.elasto.peers.TemplateTracker;
import org.opencv.core.CvType;
import org.opencv.core.Mat;
import org.opencv.imgproc.Imgproc;

/** One match a template, within the part of the second image that is to be searched. */
final class OpenCvTemplateTracker extends TemplateTracker {

    private final int workers;
    private final int window;
    private final int windowLines;
    private final int search;
    private final Mat first;
    private final Mat second;
    private final Mat score;

    OpenCvTemplateTracker(TemplateConfig config, ScanGeometry geometry, Workers workers) {
        super(config, geometry);
        this.workers = workers.count();
        window = config.windowSamples();
        windowLines = config.windowLines();
        search = config.searchSamples();
        Native.threads(this.workers);
        first = new Mat(geometry.lines(), geometry.samples(), CvType.CV_32FC1);
        second = new Mat(geometry.lines(), geometry.samples(), CvType.CV_32FC1);
        score = new Mat();
    }

    @Override
    protected void begin(float[] from, float[] to) {
        Native.threads(workers);
        first.put(0, 0, from);
        second.put(0, 0, to);
    }

    @Override
    protected void match(int line, int sample, float[] out) {
        Mat template = first.submat(line, line + windowLines, sample, sample + window);
        Mat area =
                second.submat(line, line + windowLines, sample - search, sample + window + search);
        Imgproc.matchTemplate(area, template, score, Imgproc.TM_CCOEFF_NORMED);
        score.get(0, 0, out);
        template.release();
        area.release();
    }
}
