package org.elasto.strain.picture;

import java.util.List;
import org.elasto.api.LineLayout;
import org.elasto.api.ScanGeometry;

/**
 * Where everything stands in a strain picture. From left to right: depth axis, echo panel, strain
 * panel, legend; from top to bottom: title, captions, panels, width axes, key to the hatch,
 * cautions. Immutable.
 */
final class PictureLayout {

    static final String ECHO_CAPTION = "Echo, %.0f dB from black to white";
    static final String MORE = "\u2191 more strain";
    static final String LESS = "\u2193 less strain";
    static final String KEY = "not trusted: echo shows through";

    /** Narrowest slot of a panel, at text scale 1. */
    private static final int NARROWEST = 190;

    /** Lowest panel area, so that the legend has room, at text scale 1. */
    private static final int LOWEST = 110;

    private static final int MARGIN = 12;
    private static final int TICK = 4;

    final int unit;
    final int width;
    final int height;
    final int margin;
    final PictureScale echo;
    final PictureScale strain;
    final int titleTop;
    final int captionTop;
    final int legendLeft;
    final int widthAxisTop;
    final int keyTop;
    final int footerTop;
    final List<String> footer;

    /** Columns for captions of either panel. */
    final int slot;

    PictureLayout(PictureConfig config, ScanGeometry geometry) {
        PixelFont font = PixelFont.instance();
        unit = config.textScale();
        margin = MARGIN * unit;
        int line = PixelFont.LINE * unit;
        PictureScale panel = panel(config.pixelsPerMillimetre(), geometry);
        slot = Math.max(panel.width(), NARROWEST * unit);

        titleTop = margin;
        captionTop = titleTop + 2 * line + 8 * unit;
        int panelTop = captionTop + line + 2 * unit;
        int numbers = font.width("000", false) * unit;
        int echoLeft = margin + line + numbers + (TICK + 4) * unit;
        int strainLeft = echoLeft + slot + 24 * unit;
        echo = panel.movedTo(echoLeft, panelTop);
        strain = panel.movedTo(strainLeft, panelTop);
        legendLeft = strainLeft + slot + 16 * unit;
        width = legendLeft + font.width(MORE, false) * unit + margin;

        widthAxisTop = panelTop + panel.height() + unit;
        int axisBottom = widthAxisTop + (TICK + 2) * unit + 2 * line;
        int legendBottom = panelTop + LOWEST * unit;
        keyTop = Math.max(axisBottom, legendBottom) + 6 * unit;
        footerTop = keyTop + line + 8 * unit;
        footer = font.wrap(Cautions.TEXT, (width - 2 * margin) / unit, false);
        height = footerTop + footer.size() * line + margin - 2 * unit;
    }

    int tick() {
        return TICK * unit;
    }

    /** Height of the legend's bar with the words above and below. */
    int legendHeight() {
        return Math.min(300 * unit, Math.max(LOWEST * unit, strain.height()));
    }

    /** A panel at the picture's corner that holds all lines of a scan. */
    private static PictureScale panel(double pixels, ScanGeometry geometry) {
        double near = geometry.firstDepth() * 1000;
        double far = geometry.lastDepth() * 1000;
        double half = geometry.lines() / 2.0;
        double top = near;
        double side;
        if (geometry.layout() instanceof LineLayout.Convex convex) {
            double angle = half * convex.angularPitch();
            double radius = convex.radius() * 1000;
            top = (radius + near) * Math.cos(Math.min(angle, Math.PI)) - radius;
            side = (radius + far) * Math.sin(Math.min(angle, Math.PI / 2));
            // More than half a circle: the outermost lines end highest.
            top = Math.min(top, (radius + far) * Math.cos(Math.min(angle, Math.PI)) - radius);
        } else {
            side = half * ((LineLayout.Linear) geometry.layout()).pitch() * 1000;
        }
        long width = Math.max(1, Math.round(2 * side * pixels));
        long height = Math.max(1, Math.round((far - top) * pixels));
        if (width * height > 1 << 26) {
            throw new IllegalArgumentException(
                    "a panel of "
                            + width
                            + " x "
                            + height
                            + " pixels is too large; choose fewer than "
                            + pixels
                            + " pixels per millimetre");
        }
        return new PictureScale(pixels, 0, 0, (int) width, (int) height, -side, top);
    }
}
