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
    private final PanelPainter painter;
    private final Decoration decoration;
    private final Percentile percentile;
    private final Picture picture;
    private final Workers.Task paint;

    private String title;
    private ShownQuantity quantity;
    private double largest = Double.NaN;

    /** Which decoration, counted, the picture has. */
    private long decorated;

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
        ColourScale colours = ColourScale.of(config);
        painter = PanelPainter.of(layout, echo, colours, strain.geometry(), strain.grid(), workers);
        paint = painter::paint;
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
     * Memory to draw into, or for a copy of what is drawn.
     *
     * @return an empty picture of the size that is drawn
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
        drawInto(picture, newTitle, frame, newPlane, newTrusted, newQuantity);
        return picture;
    }

    /**
     * Draws as {@link #draw(String, RfFrame, float[], boolean[], ShownQuantity)} does, into memory
     * of the caller's. Quickest if that was drawn into before and is otherwise left as it is: then
     * what stands around the two panels is only drawn anew when it has changed.
     *
     * @param target receives the picture
     * @param newTitle as there
     * @param frame as there
     * @param newPlane as there
     * @param newTrusted as there
     * @param newQuantity as there
     * @throws IllegalArgumentException as there, or if the target has another size
     */
    public void drawInto(
            Picture target,
            String newTitle,
            RfFrame frame,
            float[] newPlane,
            boolean[] newTrusted,
            ShownQuantity newQuantity) {
        Check.same("width of the picture", target.width(), layout.width);
        Check.same("height of the picture", target.height(), layout.height);
        Objects.requireNonNull(newTitle, "title is missing");
        Objects.requireNonNull(newQuantity, "quantity is missing");
        checkSize("plane of values", newPlane.length);
        checkSize("mask of trusted places", newTrusted.length);
        echo.update(frame);
        double range = range(newPlane, newTrusted, newQuantity.factor());
        boolean same =
                newTitle.equals(title)
                        && newQuantity.equals(quantity)
                        && Double.compare(range, largest) == 0;
        if (!same) {
            title = newTitle;
            quantity = newQuantity;
            largest = range;
            decoration.draw(picture, title, quantity, largest);
            picture.decorate(this, ++decorated);
        }
        if (!target.isDecorated(this, decorated)) {
            int[] from = picture.argb();
            System.arraycopy(from, 0, target.argb(), 0, from.length);
            target.decorate(this, decorated);
        }
        painter.begin(target, newPlane, newTrusted, largest);
        try {
            workers.run(painter.tasks(), paint);
        } finally {
            painter.end();
        }
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
    private double range(float[] plane, boolean[] trusted, double factor) {
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
}
