package org.elasto.peers.boofcv;

import boofcv.alg.template.TemplateMatchingIntensity;
import boofcv.factory.template.FactoryTemplateMatching;
import boofcv.factory.template.TemplateScoreType;
import boofcv.struct.image.GrayF32;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.peers.TemplateConfig;
import org.elasto.peers.TemplateTracker;

/** One match a template, within the part of the second image that is to be searched. */
final class BoofTemplateTracker extends TemplateTracker {

    private final int window;
    private final int search;
    private final GrayF32 first;
    private final GrayF32 second;
    private final GrayF32 template;
    private final GrayF32 area;
    private final TemplateMatchingIntensity<GrayF32> method;

    BoofTemplateTracker(TemplateConfig config, ScanGeometry geometry, Workers workers) {
        super(config, geometry);
        window = config.windowSamples();
        search = config.searchSamples();
        first = new GrayF32(geometry.samples(), geometry.lines());
        second = new GrayF32(geometry.samples(), geometry.lines());
        template = new GrayF32(window, config.windowLines());
        area = new GrayF32(window + 2 * search, config.windowLines());
        method = FactoryTemplateMatching.createIntensity(TemplateScoreType.NCC, GrayF32.class);
    }

    @Override
    protected void begin(float[] from, float[] to) {
        System.arraycopy(from, 0, first.data, 0, from.length);
        System.arraycopy(to, 0, second.data, 0, to.length);
    }

    @Override
    protected void match(int line, int sample, float[] out) {
        copy(first, sample, line, template);
        copy(second, sample - search, line, area);
        method.setInputImage(area);
        method.process(template);
        GrayF32 intensity = method.getIntensity();
        // Where the template does not fit the library leaves a border.
        int x0 = method.isBorderProcessed() ? 0 : method.getBorderX0();
        int y0 = method.isBorderProcessed() ? 0 : method.getBorderY0();
        for (int i = 0; i < out.length; i++) {
            out[i] = intensity.unsafe_get(x0 + i, y0);
        }
    }

    private static void copy(GrayF32 from, int x, int y, GrayF32 to) {
        for (int row = 0; row < to.height; row++) {
            int at = (y + row) * from.stride + x;
            System.arraycopy(from.data, at, to.data, row * to.stride, to.width);
        }
    }
}
