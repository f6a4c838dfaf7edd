package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class StrainPictureTest {

    private static final ScanGeometry LINEAR =
            ScanGeometry.linear(32, 800, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final ScanGeometry CONVEX =
            ScanGeometry.convex(40, 900, 20e6, 3.5e6, 1540, 2e-3, 40e-3, 0.02, 30);

    private static PictureConfig config(String text) {
        return PictureConfig.schema().parse(PictureConfig.DEFAULTS, text);
    }

    /** White noise: speckle enough for a picture. */
    private static RfFrame noise(ScanGeometry geometry, long seed) {
        Random random = new Random(seed);
        float[] samples = new float[geometry.lines() * geometry.samples()];
        for (int i = 0; i < samples.length; i++) {
            samples[i] = (float) random.nextGaussian();
        }
        return RfFrame.of(geometry, samples);
    }

    private static StrainImage even(ScanGeometry geometry, float strain) {
        double depth = geometry.lastDepth() - geometry.firstDepth();
        RowGrid grid = new RowGrid(60, geometry.firstDepth(), depth / 60);
        StrainImage image = new StrainImage(new StrainLayout(geometry, grid, false, 1e-3));
        Arrays.fill(image.axial(), strain);
        Arrays.fill(image.trusted(), true);
        return image;
    }

    private static StrainPicture picture(String config, StrainImage image) {
        return new StrainPicture(config(config), image.layout(), Workers.sequential());
    }

    private static int at(Picture picture, PictureScale scale, double xMm, double zMm) {
        int x = (int) Math.floor(scale.column(xMm));
        int y = (int) Math.floor(scale.row(zMm));
        assertTrue(scale.contains(x, y));
        return picture.argb()[y * picture.width() + x];
    }

    @Test
    void showsSizeOfStrainOnTheScale() {
        StrainImage image = even(LINEAR, -0.002f);
        StrainPicture drawer = picture("largest-strain=0.005", image);
        Picture picture = drawer.draw("Even", noise(LINEAR, 1), image);
        int grey = Math.round(0.4f * 255);
        assertEquals(ColourScale.pack(grey, grey, grey), at(picture, drawer.strainScale(), 0, 7));
        Arrays.fill(image.axial(), 0.002f);
        drawer.draw("Even", noise(LINEAR, 1), image);
        assertEquals(ColourScale.pack(grey, grey, grey), at(picture, drawer.strainScale(), 0, 7));
    }

    @Test
    void untrustedShowsDimmedEchoAndHatch() {
        StrainImage image = even(LINEAR, -0.002f);
        int rows = image.rows();
        for (int line = 0; line < 32; line++) {
            Arrays.fill(image.trusted(), line * rows + 30, (line + 1) * rows, false);
        }
        // Trusted but unknown is not shown either.
        image.axial()[5 * rows + 5] = Float.NaN;
        StrainPicture drawer = picture("largest-strain=0.005", image);
        Picture picture = drawer.draw("Half", noise(LINEAR, 1), image);
        int strain = ColourScale.grey().colour(0.4);
        // Rows lie 15.4/60 mm apart; row 29 reaches half a row further.
        double border = image.layout().grid().depth(29.5) * 1000;
        assertEquals(strain, at(picture, drawer.strainScale(), 0, border - 0.2));
        int hatched = 0;
        int dimmed = 0;
        PictureScale scale = drawer.strainScale();
        PictureScale echo = drawer.echoScale();
        for (int y = (int) scale.row(border + 0.2); y < scale.top() + scale.height(); y++) {
            for (int x = 0; x < scale.width(); x++) {
                int colour = picture.argb()[y * picture.width() + scale.left() + x];
                int grey = picture.argb()[y * picture.width() + echo.left() + x] & 255;
                assertNotEquals(strain, colour);
                if ((colour & 255) == 176) {
                    hatched++;
                } else {
                    assertEquals(grey >> 1, colour & 255);
                    dimmed++;
                }
            }
        }
        assertEquals(1 / 6.0, hatched / (double) (hatched + dimmed), 0.01);
        double x = (5 - 15.5) * 0.3;
        double z = image.layout().grid().depth(5) * 1000;
        assertNotEquals(strain, at(picture, scale, x, z));
        assertEquals(strain, at(picture, scale, x + 0.3, z));
    }

    @Test
    void rangeIsRoundNumberAboveShareOfTrustedPlaces() {
        StrainImage image = even(LINEAR, -0.003f);
        Arrays.fill(image.axial(), 0, 90, -0.5f);
        image.trusted()[100] = false;
        image.axial()[100] = 1e9f;
        StrainPicture drawer = picture("", image);
        drawer.draw("", noise(LINEAR, 1), image);
        // 0.3 % is round already, though no float is exactly that.
        // 90 of 1919 places are 4.7 %, beyond the 95 % that the range holds.
        assertEquals(0.003, drawer.largestShown(), 1e-9);
        Arrays.fill(image.axial(), -0.0021f);
        drawer.draw("", noise(LINEAR, 1), image);
        assertEquals(0.0025, drawer.largestShown(), 1e-9);
        Arrays.fill(image.trusted(), false);
        drawer.draw("", noise(LINEAR, 1), image);
        assertTrue(Double.isNaN(drawer.largestShown()));
    }

    @Test
    void convexScanLiesWhereItIs() {
        StrainImage image = even(CONVEX, 0.001f);
        int rows = image.rows();
        // One line alone is strained more.
        Arrays.fill(image.axial(), 30 * rows, 31 * rows, 0.004f);
        StrainPicture drawer = picture("largest-strain=0.005", image);
        Picture picture = drawer.draw("Fan", noise(CONVEX, 1), image);
        PictureScale scale = drawer.strainScale();
        for (double depth : new double[] {5e-3, 15e-3, 30e-3}) {
            double x = CONVEX.x(30, depth) * 1000;
            double z = CONVEX.z(30, depth) * 1000;
            int grey = at(picture, scale, x, z) & 255;
            assertTrue(grey > 0.6 * 255, depth + " m: " + grey);
            int beside = at(picture, scale, CONVEX.x(32, depth) * 1000, CONVEX.z(32, depth) * 1000);
            assertEquals(51, beside & 255);
        }
        // Outside the fan it is black, on both panels.
        for (PictureScale panel : new PictureScale[] {scale, drawer.echoScale()}) {
            for (int corner : new int[] {0, panel.width() - 1}) {
                int bottom = panel.top() + panel.height() - 1;
                int i = bottom * picture.width() + panel.left() + corner;
                assertEquals(0xff000000, picture.argb()[i]);
            }
            assertEquals(0xff000000, at(picture, panel, 0, 1.8));
            assertNotEquals(0xff000000, at(picture, scale, 0, 2.3));
        }
    }

    /** Nothing is cut off: a margin of the page's colour stays free all around. */
    @Property(tries = 25, seed = "29")
    void nothingReachesTheMargin(
            @ForAll @IntRange(min = 1, max = 3) int textScale,
            @ForAll @IntRange(min = 1, max = 12) int pixels,
            @ForAll boolean convex,
            @ForAll @IntRange(min = 0, max = 300) int titleLength) {
        ScanGeometry geometry = convex ? CONVEX : LINEAR;
        StrainImage image = even(geometry, -0.0123f);
        StrainPicture drawer =
                picture("text-scale=" + textScale + ",pixels-per-millimetre=" + pixels, image);
        Picture picture = drawer.draw("Wq j".repeat(titleLength / 4), noise(geometry, 1), image);
        int margin = 10 * textScale;
        int inside = 0;
        for (int y = 0; y < picture.height(); y++) {
            for (int x = 0; x < picture.width(); x++) {
                boolean free =
                        x < margin
                                || y < margin
                                || x >= picture.width() - margin
                                || y >= picture.height() - margin;
                boolean page = picture.argb()[y * picture.width() + x] == Decoration.PAGE;
                assertTrue(!free || page, x + ", " + y);
                inside += free ? 0 : 1;
            }
        }
        assertTrue(inside > 0);
    }

    @Test
    void scaleTurnsPixelsIntoMillimetresAndBack() {
        PictureScale scale = picture("pixels-per-millimetre=8", even(LINEAR, 0)).strainScale();
        assertEquals(77, scale.width());
        assertEquals(-4.8, scale.xMillimetres(scale.left()), 1e-9);
        assertEquals(0, scale.zMillimetres(scale.top()), 1e-9);
        assertEquals(scale.left() + 8, scale.column(scale.xMillimetres(scale.left()) + 1), 1e-9);
        assertEquals(scale.top() + 8, scale.row(1), 1e-9);
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 5})
    void samePictureForAnyNumberOfWorkers(int count) {
        try (Workers workers = Workers.threads(count)) {
            for (ScanGeometry geometry : new ScanGeometry[] {CONVEX, LINEAR}) {
                StrainImage image = even(geometry, -0.003f);
                Picture one = picture("", image).draw("Same", noise(geometry, 3), image);
                StrainPicture drawer =
                        new StrainPicture(PictureConfig.DEFAULTS, image.layout(), workers);
                Picture many = drawer.draw("Same", noise(geometry, 3), image);
                assertArrayEquals(one.argb(), many.argb());
            }
        }
    }

    /**
     * The quick way for linear arrays against the plain one, pixel by pixel, to within one grey
     * level, with places unknown and untrusted all over.
     */
    @Property(tries = 20, seed = "512")
    void quickWayForLinearArraysPaintsTheSame(
            @ForAll @IntRange(min = 1, max = 40) int lines,
            @ForAll @IntRange(min = 1, max = 90) int rows,
            @ForAll @IntRange(min = 2, max = 12) int pixels,
            @ForAll long seed) {
        ScanGeometry geometry =
                ScanGeometry.linear(lines, 500, 40e6, 7.5e6, 1540, 1e-3, 0.3e-3, 50);
        // Some of the scan lies beyond the grid.
        RowGrid grid = new RowGrid(rows, 2e-3, 7e-3 / rows);
        Random random = new Random(seed);
        float[] plane = new float[lines * rows];
        boolean[] trusted = new boolean[plane.length];
        for (int i = 0; i < plane.length; i++) {
            plane[i] = random.nextInt(9) == 0 ? Float.NaN : 0.01f * (random.nextFloat() - 0.5f);
            trusted[i] = random.nextInt(5) > 0;
        }
        PictureConfig config = config("pixels-per-millimetre=" + pixels);
        PictureLayout layout = new PictureLayout(config, geometry);
        EchoPicture echo = new EchoPicture(config, geometry, Workers.sequential());
        echo.update(noise(geometry, seed));
        ColourScale colours = ColourScale.grey();
        int[][] painted = new int[2][];
        PanelPainter[] painters = {
            PanelPainter.of(layout, echo, colours, geometry, grid, Workers.sequential()),
            new ScanPainter(layout, echo, colours, geometry, grid)
        };
        assertTrue(painters[0] instanceof LinearPainter);
        for (int i = 0; i < 2; i++) {
            Picture picture = new Picture(layout.width, layout.height);
            painters[i].begin(picture, plane, trusted, 0.005);
            for (int task = 0; task < painters[i].tasks(); task++) {
                painters[i].paint(task, 0);
            }
            painters[i].end();
            painted[i] = picture.argb();
        }
        int compared = 0;
        for (int i = 0; i < painted[0].length; i++) {
            assertEquals(painted[1][i] >>> 24, painted[0][i] >>> 24);
            assertEquals(painted[1][i] & 255, painted[0][i] & 255, 1);
            compared += painted[0][i] != 0 ? 1 : 0;
        }
        assertEquals(2 * layout.echo.width() * layout.echo.height(), compared);
    }

    @Test
    void drawingAgainIsTheSameAsDrawingAfresh() {
        StrainImage image = even(LINEAR, -0.003f);
        StrainPicture drawer = picture("", image);
        drawer.draw("Before\nsecond line", noise(LINEAR, 4), image);
        Arrays.fill(image.axial(), -0.0071f);
        Arrays.fill(image.trusted(), 0, 300, false);
        Picture again = drawer.draw("After", noise(LINEAR, 5), image);
        Picture afresh = picture("", image).draw("After", noise(LINEAR, 5), image);
        assertArrayEquals(afresh.argb(), again.argb());
    }

    /** Into any memory, however long ago it was drawn into and whatever has changed since. */
    @Test
    void drawingIntoMemoryOfTheCallersIsTheSame() {
        StrainImage image = even(LINEAR, -0.003f);
        StrainPicture drawer = picture("", image);
        Picture[] targets = {drawer.newPicture(), drawer.newPicture(), drawer.newPicture()};
        Random random = new Random(9);
        for (int i = 0; i < 30; i++) {
            Arrays.fill(image.axial(), -0.001f * (1 + random.nextInt(2)));
            image.trusted()[random.nextInt(image.trusted().length)] = false;
            String title = "Title " + random.nextInt(3);
            RfFrame frame = noise(LINEAR, i);
            ShownQuantity quantity = ShownQuantity.AXIAL_STRAIN;
            Picture target = targets[random.nextInt(3)];
            drawer.drawInto(target, title, frame, image.axial(), image.trusted(), quantity);
            Picture afresh = picture("", image).draw(title, frame, image);
            assertArrayEquals(afresh.argb(), target.argb(), "picture " + i);
        }
        // Memory that another one has drawn into.
        StrainPicture other = picture("colours=cubehelix", image);
        RfFrame frame = noise(LINEAR, 1);
        other.drawInto(
                targets[0],
                "Other",
                frame,
                image.axial(),
                image.trusted(),
                ShownQuantity.RELATIVE_STRAIN);
        Picture afresh =
                picture("colours=cubehelix", image)
                        .draw(
                                "Other",
                                frame,
                                image.axial(),
                                image.trusted(),
                                ShownQuantity.RELATIVE_STRAIN);
        assertArrayEquals(afresh.argb(), targets[0].argb());
        Picture small = new Picture(afresh.width(), afresh.height() - 1);
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        drawer.drawInto(
                                                small,
                                                "",
                                                frame,
                                                image.axial(),
                                                image.trusted(),
                                                ShownQuantity.AXIAL_STRAIN))
                        .getMessage();
        assertTrue(message.contains("height of the picture is " + small.height()), message);
    }

    @Test
    void redrawingAllocatesNothing() {
        StrainImage image = even(LINEAR, -0.003f);
        StrainPicture drawer = picture("pixels-per-millimetre=3", image);
        RfFrame frame = noise(LINEAR, 6);
        for (int i = 0; i < 100; i++) {
            drawer.draw("Live", frame, image);
        }
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long least = Long.MAX_VALUE;
        // Linking and compiling may still allocate in the first round.
        for (int round = 0; round < 3; round++) {
            long before = threads.getCurrentThreadAllocatedBytes();
            for (int i = 0; i < 20; i++) {
                drawer.draw("Live", frame, image);
            }
            least = Math.min(least, threads.getCurrentThreadAllocatedBytes() - before);
        }
        assertEquals(0, least);
    }

    @Test
    void oneLineOrOneRowCanBeDrawn() {
        ScanGeometry single = ScanGeometry.linear(1, 300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        StrainImage image =
                new StrainImage(new StrainLayout(single, new RowGrid(1, 2e-3, 4e-3), false, 1e-3));
        image.axial()[0] = -0.001f;
        image.trusted()[0] = true;
        StrainPicture drawer = picture("largest-strain=0.001", image);
        Picture picture = drawer.draw("One", noise(single, 1), image);
        assertEquals(0xffffffff, at(picture, drawer.strainScale(), 0, 2));
    }

    @Test
    void refusesWhatDoesNotFit() {
        StrainImage image = even(LINEAR, -0.003f);
        StrainPicture drawer = picture("", image);
        assertThrows(
                IllegalArgumentException.class, () -> drawer.draw("", noise(CONVEX, 1), image));
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        drawer.draw(
                                                "",
                                                noise(LINEAR, 1),
                                                new float[7],
                                                image.trusted(),
                                                ShownQuantity.RELATIVE_STRAIN))
                        .getMessage();
        assertTrue(message.contains("7") && message.contains("1920"), message);
        ScanGeometry deep = ScanGeometry.linear(4000, 9000, 4e6, 1e6, 1540, 0, 1e-3, 50);
        StrainLayout huge = new StrainLayout(deep, new RowGrid(10, 0, 1e-3), false, 1e-3);
        String size =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        new StrainPicture(
                                                config("pixels-per-millimetre=100"),
                                                huge,
                                                Workers.sequential()))
                        .getMessage();
        assertTrue(size.contains("fewer than 100"), size);
    }

    /**
     * A disc beside the axis of a convex scan, in strain and in echo: in the picture it lies where
     * it is in the tissue, is as large, and is round.
     */
    @Test
    void discsOfAConvexScanAreRoundInBothPanels() {
        double x = 14e-3;
        double z = 18e-3;
        double radius = 5e-3;
        RowGrid grid = new RowGrid(170, 2e-3, 0.2e-3);
        StrainImage image = new StrainImage(new StrainLayout(CONVEX, grid, false, 1e-3));
        for (int i = 0; i < image.axial().length; i++) {
            double depth = grid.depth(i % 170);
            boolean inside =
                    Math.hypot(CONVEX.x(i / 170, depth) - x, CONVEX.z(i / 170, depth) - z) < radius;
            image.axial()[i] = inside ? -0.009f : -0.001f;
            image.trusted()[i] = true;
        }
        float[] samples = new float[40 * 900];
        for (int i = 0; i < samples.length; i++) {
            double depth = CONVEX.depthOfSample(i % 900);
            double distance =
                    Math.hypot(CONVEX.x(i / 900, depth) - x, CONVEX.z(i / 900, depth) - z);
            double tone = Math.cos(2 * Math.PI * 3.5e6 / 20e6 * (i % 900));
            samples[i] = (float) (distance < radius ? 1000 * tone : 30 * tone);
        }
        StrainPicture drawer = picture("largest-strain=0.01,full-scale=1000", image);
        Picture picture = drawer.draw("Disc", RfFrame.of(CONVEX, samples), image);
        for (PictureScale scale : new PictureScale[] {drawer.strainScale(), drawer.echoScale()}) {
            double[] sums = new double[6];
            for (int row = scale.top(); row < scale.top() + scale.height(); row++) {
                for (int column = scale.left(); column < scale.left() + scale.width(); column++) {
                    int grey = picture.argb()[row * picture.width() + column] & 0xff;
                    if (grey > 180) {
                        double px = scale.xMillimetres(column + 0.5);
                        double pz = scale.zMillimetres(row + 0.5);
                        double[] terms = {1, px, pz, px * px, px * pz, pz * pz};
                        for (int k = 0; k < 6; k++) {
                            sums[k] += terms[k];
                        }
                    }
                }
            }
            double cx = sums[1] / sums[0];
            double cz = sums[2] / sums[0];
            double xx = sums[3] / sums[0] - cx * cx;
            double xz = sums[4] / sums[0] - cx * cz;
            double zz = sums[5] / sums[0] - cz * cz;
            // Lines are 1.1 mm apart there.
            assertEquals(14, cx, 0.3);
            assertEquals(18, cz, 0.3);
            assertEquals(Math.PI * 25, sums[0] / 100, 0.1 * Math.PI * 25);
            double spread = Math.hypot((xx - zz) / 2, xz);
            double aspect = Math.sqrt(((xx + zz) / 2 + spread) / ((xx + zz) / 2 - spread));
            assertTrue(aspect < 1.06, "aspect ratio " + aspect);
        }
    }
}
