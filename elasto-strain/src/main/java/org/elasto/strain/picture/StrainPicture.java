package org.elasto.strain.picture;

import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;

/**
 * Draws strain beside the echoes it was measured from, both on one millimetre scale with square
 * pixels, with a title, axes, a legend and the cautions of {@link Cautions}.
 *
 * <p>Strain is shown by its size, whether pressed or released: little is dark, which in the grey
 * scale makes stiff places dark, as is common practice. Where it is not trusted the echo picture
 * shows through a fine hatch; a pixel shows strain only if the place nearest to it is trusted, and
 * is interpolated between trusted places alone. The scan of a convex probe is drawn as it lies in
 * the tissue, black outside.
 *
 * <p>Owns its memory, the finished picture included: one thread at a time. After warm-up, drawing
 * allocates nothing as long as title, quantity and range stay the same. The picture does not depend
 * on the number of workers.
 */
public final class StrainPicture {

    private final PictureConfig config;
    private final StrainLayout strainLayout;
    private final Workers workers;
    private final PictureLayout layout;
    private final EchoPicture echo;
    private final PixelMap echoMap;
    private final PixelMap strainMap;
    private final ColourScale colours;
    private final Decoration decoration;
    private final Percentile percentile;
    private final Picture picture;
    private final Workers.Task paint = (row, worker) -> paintRow(row);

    private String title;
    private ShownQuantity quantity;
    private double largest = Double.NaN;

    // The arguments of the call that is under way.
    private float[] plane;
    private boolean[] trusted;

    /**
     * Makes a picture for strain images of one layout.
     *
     * @param config how it looks
     * @param strain layout of the strain images; the frames have its geometry
     * @param workers threads it may use
     * @throws IllegalArgumentException if the picture would be too large, with its size
     */
    public StrainPicture(PictureConfig config, StrainLayout strain, Workers workers) {
        this.config = Objects.requireNonNull(config, "picture config is missing");
        this.strainLayout = Objects.requireNonNull(strain, "strain layout is missing");
        this.workers = Objects.requireNonNull(workers, "workers are missing");
        layout = new PictureLayout(config, strain.geometry());
        picture = newPicture();
        echo = new EchoPicture(config, strain.geometry(), workers);
        echoMap = new PixelMap(layout.echo, strain.geometry(), echo.grid());
        strainMap = new PixelMap(layout.strain, strain.geometry(), strain.grid());
        colours = ColourScale.of(config);
        decoration = new Decoration(config, layout, colours);
        percentile = new Percentile(strain.planeSize());
    }

    /**
     * Where the echo panel lies and what its pixels show.
     *
     * @return its scale
     */
    public PictureScale echoScale() {
        return layout.echo;
    }

    /**
     * Where the strain panel lies and what its pixels show.
     *
     * @return its scale
     */
    public PictureScale strainScale() {
        return layout.strain;
    }

    /**
     * Memory for a copy of what is drawn.
     *
     * @return a picture of the same size
     */
    public Picture newPicture() {
        return new Picture(layout.width, layout.height);
    }

    /**
     * Value at the bright end of the scale in the last picture.
     *
     * @return the configured one, or the one found; NaN if no place was trusted or all strain was 0
     */
    public double largestShown() {
        return largest;
    }

    /**
     * Draws the axial strain of an image in per cent.
     *
     * @param newTitle what stands on top; after a line break, a second line
     * @param frame the first frame of the pair
     * @param strain strain between the two
     * @return the picture, whose memory the next call will overwrite
     * @throws IllegalArgumentException if a layout is another, with both
     */
    public Picture draw(String newTitle, RfFrame frame, StrainImage strain) {
        Check.same("layout of the strain image", strain.layout(), strainLayout);
        return draw(newTitle, frame, strain.axial(), strain.trusted(), ShownQuantity.AXIAL_STRAIN);
    }

    /**
     * Draws a plane of values on the grid of the strain images, such as strain relative to its
     * surroundings or averaged over time.
     *
     * @param newTitle what stands on top; after a line break, a second line
     * @param frame the frame whose echoes stand beside them
     * @param newPlane values, line after line; only their size is shown
     * @param newTrusted whether each can be trusted; one that is NaN is not
     * @param newQuantity what the values are
     * @return the picture, whose memory the next call will overwrite
     * @throws IllegalArgumentException if a size or the frame's geometry is another, with both
     */
    public Picture draw(
            String newTitle,
            RfFrame frame,
            float[] newPlane,
            boolean[] newTrusted,
            ShownQuantity newQuantity) {
        Objects.requireNonNull(newTitle, "title is missing");
        Objects.requireNonNull(newQuantity, "quantity is missing");
        checkSize("plane of values", newPlane.length);
        checkSize("mask of trusted places", newTrusted.length);
        echo.update(frame);
        plane = newPlane;
        trusted = newTrusted;
        try {
            double range = range(newQuantity.factor());
            boolean same =
                    newTitle.equals(title)
                            && newQuantity.equals(quantity)
                            && Double.compare(range, largest) == 0;
            if (!same) {
                title = newTitle;
                quantity = newQuantity;
                largest = range;
                decoration.draw(picture, title, quantity, largest);
            }
            workers.run(layout.echo.height(), paint);
        } finally {
            plane = null;
            trusted = null;
        }
        return picture;
    }

    private void checkSize(String name, int length) {
        if (length != strainLayout.planeSize()) {
            throw new IllegalArgumentException(
                    name
                            + " has "
                            + length
                            + " elements; the strain layout has "
                            + strainLayout.planeSize());
        }
    }

    /** The value at the bright end: a round number in the unit that is shown. */
    private double range(double factor) {
        if (!Double.isNaN(config.largestStrain())) {
            return config.largestStrain();
        }
        percentile.clear();
        for (int i = 0; i < plane.length; i++) {
            if (trusted[i] && !Float.isNaN(plane[i])) {
                percentile.add(Math.abs(plane[i]));
            }
        }
        double size = percentile.of(config.rangeShare());
        return size > 0 && size <= Float.MAX_VALUE
                ? RoundNumbers.ceiling(size * factor) / factor
                : Double.NaN;
    }

    private void paintRow(int y) {
        PictureScale left = layout.echo;
        PictureScale right = layout.strain;
        int[] argb = picture.argb();
        int echoPixel = (left.top() + y) * picture.width() + left.left();
        int strainPixel = (right.top() + y) * picture.width() + right.left();
        int from = y * left.width();
        for (int x = 0; x < left.width(); x++) {
            int grey = grey(from + x);
            if (grey < 0) {
                argb[echoPixel + x] = Decoration.BLANK;
                argb[strainPixel + x] = Decoration.BLANK;
                continue;
            }
            argb[echoPixel + x] = ColourScale.pack(grey, grey, grey);
            float value = value(from + x);
            argb[strainPixel + x] =
                    Float.isNaN(value)
                            ? Hatch.colour(x, y, layout.unit, grey)
                            : colours.colour(largest > 0 ? value / largest : 0);
        }
    }

    /** Brightness of the echo at a pixel, 0 to 255, or -1 outside the scan. */
    private int grey(int pixel) {
        PixelMap map = echoMap;
        int cell = map.cell[pixel];
        if (cell < 0) {
            return -1;
        }
        float[] levels = echo.levels();
        float a = map.alongLines[pixel];
        float b = map.alongRows[pixel];
        int next = cell + map.lineStep;
        int down = map.rowStep;
        float here = levels[cell] + b * (levels[cell + down] - levels[cell]);
        float there = levels[next] + b * (levels[next + down] - levels[next]);
        return (int) ((here + a * (there - here)) * 255 + 0.5f);
    }

    /** Size of strain at a pixel, NaN where it is not trusted. */
    private float value(int pixel) {
        PixelMap map = strainMap;
        int cell = map.cell[pixel];
        if (cell < 0) {
            return Float.NaN;
        }
        float a = map.alongLines[pixel];
        float b = map.alongRows[pixel];
        int nearest = cell + (a >= 0.5f ? map.lineStep : 0) + (b >= 0.5f ? map.rowStep : 0);
        if (!isTrusted(nearest)) {
            return Float.NaN;
        }
        int next = cell + map.lineStep;
        int down = map.rowStep;
        float w00 = isTrusted(cell) ? (1 - a) * (1 - b) : 0;
        float w01 = isTrusted(cell + down) ? (1 - a) * b : 0;
        float w10 = isTrusted(next) ? a * (1 - b) : 0;
        float w11 = isTrusted(next + down) ? a * b : 0;
        float sum = 0;
        sum += w00 > 0 ? w00 * plane[cell] : 0;
        sum += w01 > 0 ? w01 * plane[cell + down] : 0;
        sum += w10 > 0 ? w10 * plane[next] : 0;
        sum += w11 > 0 ? w11 * plane[next + down] : 0;
        return Math.abs(sum / (w00 + w01 + w10 + w11));
    }

    private boolean isTrusted(int place) {
        return trusted[place] && !Float.isNaN(plane[place]);
    }
}
