package org.elasto.strain.measure;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/**
 * Axial strain inside a region: mean, spread, and how well the mean is known. Cells that are not
 * trusted are left out; the others weigh the area of them that lies in the region.
 *
 * <p><b>Independent cells.</b> Neighbouring cells share data, so that many cells are worth few
 * independent ones. With weights w and the correlation r of the errors of two cells, {@code (sum
 * w)² / (sum sum w w r)} independent cells would give as good a mean (the variance of a mean of
 * correlated values; textbooks of statistics). r comes from the depth resolution of the strain
 * image and from what the displacement field states of its errors along and across lines. A strain
 * estimator that averages across lines in addition makes fewer cells independent than is counted
 * here.
 *
 * <p><b>How well the mean is known.</b> {@link #meanDeviation} is what the predicted deviations of
 * the cells and r give, and where strain varies more over the region than they predict, larger by
 * as much (the factor of Birge, Phys. Rev. 40:207, 1932; from memory). It knows nothing of biases,
 * such as the smoothing at the edge of an inclusion: keep a resolution away from it.
 *
 * <p><b>Caution.</b> Strain is not stiffness. It depends on how the probe was pressed, falls off
 * with depth below a probe of finite size, gathers around stiff bodies, and tissue hardens when it
 * is pressed more.
 *
 * <p>Made for a region and a layout, then {@linkplain #update updated} with every image, which
 * allocates nothing. Not thread-safe.
 */
public final class RegionStatistics {

    private final StrainLayout layout;
    private final RegionMask mask;
    private final StrainErrors errors;
    private final int rows;

    // The smallest block of lines and rows that holds the region.
    private final int firstLine;
    private final int firstRow;
    private final int blockLines;
    private final int blockRows;
    private final double[] block;
    private final double[] filtered;

    private int trustedCells;
    private double trustedShare;
    private double mean;
    private double deviation;
    private double predictedDeviation;
    private double independentCells;
    private double meanDeviation;

    /**
     * Statistics of a region before any image: nothing known.
     *
     * @param region the region
     * @param strain layout of the strain images
     * @param field layout of the displacement fields they are made from
     * @throws IllegalArgumentException if the region lies outside the image or is smaller than a
     *     cell, or the two layouts have different geometries
     */
    public RegionStatistics(Region region, StrainLayout strain, FieldLayout field) {
        Check.same("geometry of the strain image", strain.geometry(), field.geometry());
        layout = strain;
        mask = new RegionMask(region, strain.geometry(), strain.grid());
        errors = new StrainErrors(field, strain);
        rows = strain.grid().rows();
        int lowLine = Integer.MAX_VALUE;
        int highLine = 0;
        int lowRow = Integer.MAX_VALUE;
        int highRow = 0;
        for (int i = 0; i < mask.size(); i++) {
            lowLine = Math.min(lowLine, mask.cell(i) / rows);
            highLine = Math.max(highLine, mask.cell(i) / rows);
            lowRow = Math.min(lowRow, mask.cell(i) % rows);
            highRow = Math.max(highRow, mask.cell(i) % rows);
        }
        firstLine = lowLine;
        firstRow = lowRow;
        blockLines = highLine - lowLine + 1;
        blockRows = highRow - lowRow + 1;
        block = new double[blockLines * blockRows];
        filtered = new double[block.length];
        forget();
    }

    private void forget() {
        trustedCells = 0;
        trustedShare = 0;
        mean = Double.NaN;
        deviation = Double.NaN;
        predictedDeviation = Double.NaN;
        independentCells = 0;
        meanDeviation = Double.NaN;
    }

    /**
     * Takes in an image.
     *
     * @param image strain; neither modified nor kept
     * @return this
     * @throws IllegalArgumentException if its layout is another, with both
     */
    public RegionStatistics update(StrainImage image) {
        Check.same("layout of the strain image", image.layout(), layout);
        return update(image.axial(), image.axialDeviation(), image.trusted());
    }

    /**
     * Takes in planes on the grid of the strain images, such as strain relative to its surroundings
     * and averaged over time.
     *
     * @param strain values, line after line; neither modified nor kept
     * @param predicted predicted standard deviation of each
     * @param trusted whether each can be trusted
     * @return this
     * @throws IllegalArgumentException if a size is another, with both
     */
    public RegionStatistics update(float[] strain, float[] predicted, boolean[] trusted) {
        Check.same("size of the plane", strain.length, layout.planeSize());
        Check.same("size of the plane of deviations", predicted.length, layout.planeSize());
        Check.same("size of the mask of trusted places", trusted.length, layout.planeSize());
        forget();
        double total = 0;
        double sum = 0;
        double predictedSquares = 0;
        for (int i = 0; i < mask.size(); i++) {
            int cell = mask.cell(i);
            if (isUsable(trusted[cell], strain[cell], predicted[cell])) {
                double w = mask.weight(i);
                total += w;
                sum += w * strain[cell];
                predictedSquares += w * predicted[cell] * predicted[cell];
                trustedCells++;
            }
        }
        if (trustedCells == 0) {
            return this;
        }
        trustedShare = Math.min(1, total / mask.area());
        mean = sum / total;
        predictedDeviation = Math.sqrt(predictedSquares / total);
        double squares = 0;
        for (int i = 0; i < mask.size(); i++) {
            int cell = mask.cell(i);
            if (isUsable(trusted[cell], strain[cell], predicted[cell])) {
                double d = strain[cell] - mean;
                squares += mask.weight(i) * d * d;
            }
        }
        independentCells = total * total / correlatedSum(strain, predicted, trusted, false);
        // The mean of correlated cells follows them: their spread about it is too small.
        double left = 1 - 1 / independentCells;
        deviation = left > 0.05 ? Math.sqrt(squares / total / left) : Double.NaN;
        double known = Math.sqrt(correlatedSum(strain, predicted, trusted, true)) / total;
        double excess = deviation / predictedDeviation;
        meanDeviation = excess > 1 ? known * excess : known;
        return this;
    }

    private static boolean isUsable(boolean trusted, float strain, float predicted) {
        return trusted && !Float.isNaN(strain) && predicted >= 0;
    }

    /** Sum over all pairs of cells of weights (times predicted deviations) and correlation. */
    private double correlatedSum(
            float[] strain, float[] predicted, boolean[] trusted, boolean withDeviations) {
        Arrays.fill(block, 0);
        for (int i = 0; i < mask.size(); i++) {
            int cell = mask.cell(i);
            if (isUsable(trusted[cell], strain[cell], predicted[cell])) {
                int at = (cell / rows - firstLine) * blockRows + cell % rows - firstRow;
                block[at] = mask.weight(i) * (withDeviations ? predicted[cell] : 1);
            }
        }
        filterRows();
        double sum = 0;
        double[] lags = errors.acrossLines;
        for (int line = 0; line < blockLines; line++) {
            int last = Math.min(blockLines, line + lags.length);
            for (int other = line; other < last; other++) {
                double product = 0;
                int a = line * blockRows;
                int b = other * blockRows;
                for (int row = 0; row < blockRows; row++) {
                    product += block[a + row] * filtered[b + row];
                }
                sum += (other == line ? 1 : 2) * lags[other - line] * product;
            }
        }
        return Math.max(0, sum);
    }

    private void filterRows() {
        double[] lags = errors.alongRows;
        Arrays.fill(filtered, 0);
        for (int line = 0; line < blockLines; line++) {
            int from = line * blockRows;
            int end = from + blockRows;
            for (int row = from; row < end; row++) {
                double value = block[row];
                if (value == 0) {
                    continue;
                }
                int low = Math.max(from, row - lags.length + 1);
                int high = Math.min(end - 1, row + lags.length - 1);
                for (int other = low; other <= high; other++) {
                    filtered[other] += value * lags[Math.abs(other - row)];
                }
            }
        }
    }

    /**
     * The region.
     *
     * @return the region these statistics were made for
     */
    public Region region() {
        return mask.region();
    }

    /**
     * The cells of the region.
     *
     * @return their mask
     */
    public RegionMask mask() {
        return mask;
    }

    /**
     * Number of trusted cells in the region.
     *
     * @return the number; all else is NaN if it is 0
     */
    public int trustedCells() {
        return trustedCells;
    }

    /**
     * Share of the region, as far as it lies in the image, that is trusted.
     *
     * @return 0 to 1, by area
     */
    public double trustedShare() {
        return trustedShare;
    }

    /**
     * Mean axial strain.
     *
     * @return strain, negative when pressed; NaN if nothing is trusted
     */
    public double mean() {
        return mean;
    }

    /**
     * Standard deviation of axial strain over the region, errors and true differences alike, freed
     * from how far the mean follows the cells.
     *
     * @return deviation; NaN if there is nothing to tell it from, less than about one independent
     *     cell
     */
    public double deviation() {
        return deviation;
    }

    /**
     * The deviation that the strain image predicts of its errors, root mean square over the region.
     *
     * @return deviation; NaN if nothing is trusted
     */
    public double predictedDeviation() {
        return predictedDeviation;
    }

    /**
     * Number of independent cells that would give as good a mean.
     *
     * @return the number; 0 if nothing is trusted. Over many rows it may exceed that of the cells,
     *     since errors of strain at some distance undo each other
     */
    public double independentCells() {
        return independentCells;
    }

    /**
     * Standard deviation of the mean.
     *
     * @return deviation; NaN if nothing is trusted
     */
    public double meanDeviation() {
        return meanDeviation;
    }

    /**
     * Signal-to-noise ratio of the strain seen: size of the mean over the deviation (Varghese &amp;
     * Ophir, IEEE Trans UFFC 44(1):164&ndash;172, 1997). Meant for a region of even tissue.
     *
     * @return ratio, 0 or more; NaN if it is not known
     */
    public double signalToNoise() {
        return Math.abs(mean) / deviation;
    }
}
