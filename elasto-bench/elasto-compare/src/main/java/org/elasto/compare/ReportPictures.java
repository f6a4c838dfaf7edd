package org.elasto.compare;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.ResultsReader;
import org.elasto.strain.picture.ColourScale;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.PictureScale;
import org.elasto.strain.picture.PngWriter;
import org.elasto.strain.picture.ShownQuantity;
import org.elasto.strain.picture.StrainPicture;

/**
 * The pictures of one source: its echo, true strain, and for each case strain and its error, all
 * strain on one scale and all errors on another.
 */
final class ReportPictures {

    private static final int LEGEND_WIDTH = 220;
    private static final int LEGEND_HEIGHT = 12;

    /** A strain image and what it is called. */
    private record Named(String label, StrainImage image, StrainImage truth) {}

    private final PictureConfig look;
    private final Workers workers;
    private final RfFrame frame;
    private final List<Named> cases = new ArrayList<>();
    private final long firstNumber;

    /**
     * Reads what is to be shown.
     *
     * @param look how it looks
     * @param frameFile the recording of the shown frame
     * @param outcomes finished cases of the source by label
     * @param workers threads to draw with
     */
    ReportPictures(
            PictureConfig look, Path frameFile, Map<String, CaseOutcome> outcomes, Workers workers)
            throws IOException {
        this.look = look;
        this.workers = workers;
        try (FrameSource source = Sources.open(frameFile.toString(), Choice.of(""), workers)) {
            frame = source.read(0);
        }
        long number = 0;
        for (Map.Entry<String, CaseOutcome> entry : outcomes.entrySet()) {
            Path folder = entry.getValue().folder();
            Path truth = folder.resolve(CaseOutcome.TRUTH);
            try (ResultsReader reader = new ResultsReader(folder.resolve(CaseOutcome.RESULTS))) {
                number = reader.first(0);
                cases.add(
                        new Named(
                                entry.getKey(),
                                read(reader),
                                Files.exists(truth) ? read(truth) : null));
            }
        }
        firstNumber = number;
    }

    private static StrainImage read(Path file) throws IOException {
        try (ResultsReader reader = new ResultsReader(file)) {
            return read(reader);
        }
    }

    private static StrainImage read(ResultsReader reader) throws IOException {
        StrainImage image = new StrainImage(reader.header().strain());
        reader.read(0, new DisplacementField(reader.header().field()), image);
        return image;
    }

    /** Strain by label; the one without a label is the true one of the first case. */
    Map<String, StrainImage> images() {
        Map<String, StrainImage> images = new LinkedHashMap<>();
        cases.forEach(named -> images.put(named.label(), named.image()));
        if (cases.get(0).truth() != null) {
            images.put("", cases.get(0).truth());
        }
        return images;
    }

    /** The section's figures. */
    String figures() throws IOException {
        StrainImage truth = cases.get(0).truth();
        List<Float> own = new ArrayList<>();
        for (Named named : cases) {
            own.add(
                    (float)
                            drawer(look, named.image())
                                    .largest(named.image().axial(), named.image().trusted()));
        }
        double largest =
                truth == null
                        ? median(own)
                        : drawer(look, truth).largest(truth.axial(), truth.trusted());
        StringBuilder page = new StringBuilder();
        page.append("<p>Frames ").append(firstNumber).append(" and ").append(firstNumber + 1);
        page.append("; the probe is on top. Strain by its size, dark is little:</p>\n");
        page.append(legend(look, largest * 100, "%"));
        page.append("<div class=\"pictures\">\n");
        PictureConfig shown = with(look, largest);
        page.append(drawer(shown, cases.get(0).image()).echo("<b>echo</b>"));
        if (truth != null) {
            page.append(
                    drawer(shown, truth)
                            .strain(truth.axial(), truth.trusted(), "<b>true strain</b>"));
        }
        for (Named named : cases) {
            page.append(
                    drawer(shown, named.image())
                            .strain(
                                    named.image().axial(),
                                    named.image().trusted(),
                                    Html.text(named.label())));
        }
        page.append("</div>\n");
        return truth == null ? page.toString() : page + errors();
    }

    private String errors() throws IOException {
        PictureConfig colours = PictureConfig.schema().parse(look, Map.of("colours", "cubehelix"));
        List<Float> own = new ArrayList<>();
        List<float[]> planes = new ArrayList<>();
        List<boolean[]> masks = new ArrayList<>();
        for (Named named : cases) {
            float[] error = named.image().axial().clone();
            boolean[] known = named.image().trusted().clone();
            for (int i = 0; i < error.length; i++) {
                error[i] -= named.truth().axial()[i];
                known[i] &= !Float.isNaN(error[i]);
            }
            planes.add(error);
            masks.add(known);
            own.add((float) drawer(colours, named.image()).largest(error, known));
        }
        double largest = median(own);
        StringBuilder page = new StringBuilder("<p>Size of the error of strain:</p>\n");
        page.append(legend(colours, largest * 100, "%"));
        page.append("<div class=\"pictures\">\n");
        for (int i = 0; i < cases.size(); i++) {
            page.append(
                    drawer(with(colours, largest), cases.get(i).image())
                            .strain(
                                    planes.get(i),
                                    masks.get(i),
                                    "error of " + Html.text(cases.get(i).label())));
        }
        return page.append("</div>\n").toString();
    }

    private static double median(List<Float> values) {
        List<Float> known = new ArrayList<>(values);
        known.removeIf(v -> v.isNaN());
        Collections.sort(known);
        return known.isEmpty() ? Double.NaN : known.get(known.size() / 2);
    }

    private static PictureConfig with(PictureConfig look, double largest) {
        return Double.isNaN(largest)
                ? look
                : PictureConfig.schema()
                        .parse(look, Map.of("largest-strain", Double.toString(largest)));
    }

    private static String legend(PictureConfig look, double largest, String unit)
            throws IOException {
        ColourScale scale = ColourScale.of(look);
        Picture picture = new Picture(LEGEND_WIDTH, LEGEND_HEIGHT);
        for (int i = 0; i < picture.argb().length; i++) {
            picture.argb()[i] = scale.colour((i % LEGEND_WIDTH) / (double) (LEGEND_WIDTH - 1));
        }
        return "<p class=\"legend\"><span>0</span><img alt=\"colour scale\" src=\""
                + png(picture, Double.NaN)
                + "\" width=\""
                + LEGEND_WIDTH
                + "\" height=\""
                + LEGEND_HEIGHT
                + "\"><span>"
                + Texts.number("%.3g", largest)
                + " "
                + unit
                + "</span><span class=\"note\">hatched: not trusted</span></p>\n";
    }

    private static String png(Picture picture, double pixelsPerMillimetre) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PngWriter.write(out, picture, pixelsPerMillimetre, Map.of());
        return Html.data("image/png", out.toByteArray());
    }

    private Drawer drawer(PictureConfig config, StrainImage image) {
        return new Drawer(config, new StrainPicture(config, image.layout(), workers));
    }

    /** Draws panels of one layout. */
    private final class Drawer {
        private final PictureConfig config;
        private final StrainPicture drawing;

        Drawer(PictureConfig config, StrainPicture drawing) {
            this.config = config;
            this.drawing = drawing;
        }

        double largest(float[] plane, boolean[] trusted) {
            drawing.draw("", frame, plane, trusted, ShownQuantity.AXIAL_STRAIN);
            return drawing.largestShown();
        }

        String strain(float[] plane, boolean[] trusted, String caption) throws IOException {
            Picture picture = drawing.draw("", frame, plane, trusted, ShownQuantity.AXIAL_STRAIN);
            return figure(picture, drawing.strainScale(), caption);
        }

        String echo(String caption) throws IOException {
            StrainImage image = cases.get(0).image();
            Picture picture =
                    drawing.draw(
                            "", frame, image.axial(), image.trusted(), ShownQuantity.AXIAL_STRAIN);
            return figure(picture, drawing.echoScale(), caption);
        }

        private String figure(Picture picture, PictureScale scale, String caption)
                throws IOException {
            Picture panel = new Picture(scale.width(), scale.height());
            for (int row = 0; row < scale.height(); row++) {
                System.arraycopy(
                        picture.argb(),
                        (scale.top() + row) * picture.width() + scale.left(),
                        panel.argb(),
                        row * scale.width(),
                        scale.width());
            }
            return Html.figure(
                    "picture",
                    png(panel, config.pixelsPerMillimetre()),
                    scale.width(),
                    scale.height(),
                    caption);
        }
    }
}
