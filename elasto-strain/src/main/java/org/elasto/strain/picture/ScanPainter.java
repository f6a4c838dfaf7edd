package org.elasto.strain.picture;

import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/** Paints scans of any shape: looks up for every pixel the four places it lies between. */
final class ScanPainter extends PanelPainter {

    private final PixelMap echoMap;
    private final PixelMap strainMap;
    private float[] levels;

    ScanPainter(
            PictureLayout layout,
            EchoPicture echo,
            ColourScale colours,
            ScanGeometry geometry,
            RowGrid grid) {
        super(layout, echo, colours);
        echoMap = new PixelMap(layout.echo, geometry, echo.grid());
        strainMap = new PixelMap(layout.strain, geometry, grid);
    }

    @Override
    void begin(Picture picture, float[] newPlane, boolean[] newTrusted, double largest) {
        super.begin(picture, newPlane, newTrusted, largest);
        levels = echo.levels();
    }

    @Override
    int tasks() {
        return layout.echo.height();
    }

    /** One row. */
    @Override
    void paint(int y, int worker) {
        int[] out = argb;
        int width = layout.echo.width();
        int echoPixel = firstPixel(layout.echo, y);
        int strainPixel = firstPixel(layout.strain, y);
        int[] dimmed = Hatch.dimmed();
        int hatch = y % hatchPeriod;
        for (int x = 0; x < width; x++) {
            int grey = grey(y * width + x);
            if (grey < 0) {
                out[echoPixel + x] = Decoration.BLANK;
                out[strainPixel + x] = Decoration.BLANK;
            } else {
                out[echoPixel + x] = ColourScale.pack(grey, grey, grey);
                float value = value(y * width + x);
                int untrusted = hatch < layout.unit ? Hatch.LINE : dimmed[grey];
                out[strainPixel + x] = Float.isNaN(value) ? untrusted : colour(value);
            }
            hatch = hatch + 1 == hatchPeriod ? 0 : hatch + 1;
        }
    }

    /** Brightness of the echo at a pixel, 0 to 255, or -1 outside the scan. */
    private int grey(int pixel) {
        PixelMap map = echoMap;
        int cell = map.cell[pixel];
        if (cell < 0) {
            return -1;
        }
        float a = map.alongLines[pixel];
        float b = map.alongRows[pixel];
        int next = cell + map.lineStep;
        int down = map.rowStep;
        float here = levels[cell] + b * (levels[cell + down] - levels[cell]);
        float there = levels[next] + b * (levels[next + down] - levels[next]);
        return grey(here + a * (there - here));
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
}
