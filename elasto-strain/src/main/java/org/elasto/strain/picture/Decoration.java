package org.elasto.strain.picture;

import java.util.Locale;

/** Everything of a strain picture but the two panels' insides. */
final class Decoration {

    static final int PAGE = 0xff14181d;
    static final int BLANK = 0xff000000;
    private static final int BRIGHT = 0xfff0f2f4;
    private static final int TEXT = 0xffc4cad0;
    private static final int FAINT = 0xff98a2ac;
    private static final int RULE = 0xff7c8690;

    private final PictureConfig config;
    private final PictureLayout layout;
    private final ColourScale colours;
    private final PixelFont font = PixelFont.instance();
    private final int unit;

    Decoration(PictureConfig config, PictureLayout layout, ColourScale colours) {
        this.config = config;
        this.layout = layout;
        this.colours = colours;
        unit = layout.unit;
    }

    void draw(Picture picture, String title, ShownQuantity quantity, double largest) {
        picture.fill(0, 0, picture.width(), picture.height(), PAGE);
        title(picture, title);
        String echo = String.format(Locale.ROOT, PictureLayout.ECHO_CAPTION, config.dynamicRange());
        panel(picture, layout.echo, echo);
        panel(picture, layout.strain, quantity.name());
        depthNumbers(picture);
        legend(picture, quantity, largest);
        key(picture);
        for (int i = 0; i < layout.footer.size(); i++) {
            int y = layout.footerTop + i * PixelFont.LINE * unit;
            text(picture, layout.margin, y, layout.footer.get(i), FAINT);
        }
    }

    /** The first line of the title bold, what is left of it below. */
    private void title(Picture picture, String title) {
        int room = (layout.width - 2 * layout.margin) / unit;
        String[] parts = title.strip().split("\n", 2);
        String rest = parts.length > 1 ? parts[1].replace('\n', ' ') : "";
        String first = font.wrap(parts[0], room, true).get(0);
        String left = parts[0].strip().replaceAll("\\s+", " ");
        left = left.substring(Math.min(left.length(), first.length())).strip();
        String second = left.isEmpty() ? rest : rest.isEmpty() ? left : left + " \u2013 " + rest;
        int x = layout.margin;
        font.draw(picture, x, layout.titleTop, font.shorten(first, room, true), unit, true, BRIGHT);
        int below = layout.titleTop + (PixelFont.LINE + 2) * unit;
        text(picture, x, below, font.shorten(second, room, false), TEXT);
    }

    private void panel(Picture picture, PictureScale panel, String caption) {
        text(
                picture,
                panel.left(),
                layout.captionTop,
                font.shorten(caption, layout.slot / unit, false),
                BRIGHT);
        picture.outline(
                panel.left() - unit,
                panel.top() - unit,
                panel.width() + 2 * unit,
                panel.height() + 2 * unit,
                unit,
                RULE);
        double step = step(panel, 28);
        int below = layout.widthAxisTop;
        for (double mm : ticks(panel.leftMillimetres(), panel.width(), panel, minor(step))) {
            boolean major = isMultiple(mm, step);
            int length = major ? layout.tick() : layout.tick() / 2;
            int x = (int) Math.floor(panel.column(mm));
            picture.fill(x, below, unit, length, RULE);
            if (major) {
                centred(picture, x, below + layout.tick() + 2 * unit, RoundNumbers.text(mm, step));
            }
        }
        int name = below + layout.tick() + (PixelFont.LINE + 2) * unit;
        int middle = panel.left() + panel.width() / 2;
        int half = font.width("Width (mm)", false) * unit / 2;
        centred(picture, Math.max(middle, panel.left() + half), name, "Width (mm)");
        double depthStep = step(panel, 24);
        for (double mm : ticks(panel.topMillimetres(), panel.height(), panel, minor(depthStep))) {
            int length = isMultiple(mm, depthStep) ? layout.tick() : layout.tick() / 2;
            int y = (int) Math.floor(panel.row(mm));
            picture.fill(panel.left() - unit - length, y, length, unit, RULE);
        }
    }

    private void depthNumbers(Picture picture) {
        PictureScale panel = layout.echo;
        double step = step(panel, 24);
        int right = panel.left() - layout.tick() - 4 * unit;
        for (double mm : ticks(panel.topMillimetres(), panel.height(), panel, step)) {
            String number = RoundNumbers.text(mm, step);
            int x = right - font.width(number, false) * unit;
            int y = (int) Math.floor(panel.row(mm)) - PixelFont.ASCENT * unit / 2;
            text(picture, x, y, number, TEXT);
        }
        int length = font.width("Depth (mm)", false) * unit;
        int bottom = panel.top() + Math.max(length, (panel.height() + length) / 2);
        font.drawUpwards(picture, layout.margin, bottom, "Depth (mm)", unit, TEXT);
    }

    private void legend(Picture picture, ShownQuantity quantity, double largest) {
        int left = layout.legendLeft;
        int top = layout.strain.top();
        if (!quantity.unit().isEmpty()) {
            text(picture, left, layout.captionTop, "in " + quantity.unit(), BRIGHT);
        }
        int word = (PixelFont.LINE + 6) * unit;
        text(picture, left, top, PictureLayout.MORE, TEXT);
        int barTop = top + word;
        int bar = layout.legendHeight() - 2 * word;
        int thickness = 16 * unit;
        for (int y = 0; y < bar; y++) {
            int colour = colours.colour(1 - (y + 0.5) / bar);
            picture.fill(left, barTop + y, thickness, 1, colour);
        }
        picture.outline(
                left - unit, barTop - unit, thickness + 2 * unit, bar + 2 * unit, unit, RULE);
        text(picture, left, barTop + bar + 10 * unit, PictureLayout.LESS, TEXT);
        if (largest > 0) {
            legendNumbers(picture, left + thickness, barTop, bar, largest * quantity.factor());
        }
    }

    private void legendNumbers(Picture picture, int left, int top, int length, double largest) {
        double step = RoundNumbers.step(largest / Math.min(5, length / (20.0 * unit)));
        int numberLeft = left + layout.tick() + 11 * unit;
        for (int i = 0; i * step < largest * (1 - 1e-9); i++) {
            double value = i * step;
            int y = top + (int) Math.round((1 - value / largest) * length);
            if (y - top >= 14 * unit) {
                picture.fill(left + unit, y - unit, layout.tick(), unit, RULE);
                String number = RoundNumbers.text(value, step);
                text(picture, numberLeft, y - (PixelFont.ASCENT / 2 + 1) * unit, number, TEXT);
            }
        }
        double fine = step;
        while (Math.abs(RoundNumbers.rounded(largest, fine) - largest) > 1e-3 * largest) {
            fine /= 10;
        }
        picture.fill(left + unit, top - unit, layout.tick(), unit, RULE);
        String number = "\u2265" + RoundNumbers.text(largest, fine);
        text(picture, numberLeft - 6 * unit, top - (PixelFont.ASCENT / 2 + 1) * unit, number, TEXT);
    }

    private void key(Picture picture) {
        int left = layout.strain.left();
        int width = 22 * unit;
        int height = 11 * unit;
        for (int y = 0; y < height; y++) {
            for (int x = 0; x < width; x++) {
                int colour = Hatch.colour(x, y, unit, 60 + 140 * x / width);
                picture.fill(left + x, layout.keyTop + y, 1, 1, colour);
            }
        }
        picture.outline(
                left - unit, layout.keyTop - unit, width + 2 * unit, height + 2 * unit, unit, RULE);
        text(picture, left + width + 6 * unit, layout.keyTop + unit, PictureLayout.KEY, TEXT);
    }

    /** Distance between numbers (mm) so that they lie at least so many pixels apart at scale 1. */
    private double step(PictureScale panel, int apart) {
        return RoundNumbers.step(Math.max(1, apart * unit / panel.pixelsPerMillimetre()));
    }

    private double minor(double step) {
        double mantissa = step / Math.pow(10, Math.floor(Math.log10(step) + 1e-9));
        return Math.abs(mantissa - 2) < 1e-6 ? step / 4 : step / 5;
    }

    private static boolean isMultiple(double value, double step) {
        return Math.abs(value / step - Math.rint(value / step)) < 1e-6;
    }

    /** The multiples of a step that lie on an edge of a panel (mm). */
    private static double[] ticks(double from, int pixels, PictureScale panel, double step) {
        double to = from + pixels / panel.pixelsPerMillimetre();
        int first = (int) Math.ceil(from / step - 1e-9);
        int last = (int) Math.floor(to / step + 1e-9);
        double[] ticks = new double[Math.max(0, last - first + 1)];
        for (int i = 0; i < ticks.length; i++) {
            ticks[i] = (first + i) * step;
        }
        return ticks;
    }

    private void centred(Picture picture, int middle, int top, String text) {
        text(picture, middle - font.width(text, false) * unit / 2, top, text, TEXT);
    }

    private void text(Picture picture, int left, int top, String text, int colour) {
        font.draw(picture, left, top, text, unit, false, colour);
    }
}
