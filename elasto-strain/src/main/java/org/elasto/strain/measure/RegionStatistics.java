package org.elasto.strain.measure;

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
 * allocates nothing. What costs most is found when it is first asked for, and what depends on which
 * cells are trusted is kept for as long as these stay the same. Not thread-safe.
 */
public final class RegionStatistics {

    private final StrainLayout layout;
    private final RegionMask mask;

    /** Over the smallest block of lines and rows that holds the region. */
    private final CorrelatedSum correlated;

    /** Where each cell of the mask stands in that block. */
    private final int[] places;

    // Of the last image. Cells that are not usable weigh nothing.
    private final double[] weights;
    private final double[] weightedDeviations;
    private final float[] values;
    private int trustedCells;
    private double total;
    private double mean;
    private double predictedDeviation;

    // Found when they are first asked for, since they cost most; NaN until then.
    private double correlatedWeights = Double.NaN;
    private double squares;
    private double meanVariance;

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
        int rows = strain.grid().rows();
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
        correlated =
                new CorrelatedSum(
                        new StrainErrors(field, strain),
                        highLine - lowLine + 1,
                        highRow - lowRow + 1);
        places = new int[mask.size()];
        for (int i = 0; i < places.length; i++) {
            places[i] =
                    correlated.place(mask.cell(i) / rows - lowLine, mask.cell(i) % rows - lowRow);
        }
        weights = correlated.newWeights();
        weightedDeviations = correlated.newWeights();
        values = new float[places.length];
        forget();
    }

    private void forget() {
        trustedCells = 0;
        total = 0;
        mean = Double.NaN;
        predictedDeviation = Double.NaN;
        squares = Double.NaN;
        meanVariance = Double.NaN;
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
        double sum = 0;
        double predictedSquares = 0;
        for (int i = 0; i < places.length; i++) {
            int cell = mask.cell(i);
            boolean usable = isUsable(trusted[cell], strain[cell], predicted[cell]);
            double w = usable ? mask.weight(i) : 0;
            if (w != weights[places[i]]) {
                weights[places[i]] = w;
                correlatedWeights = Double.NaN;
            }
            values[i] = usable ? strain[cell] : 0;
            weightedDeviations[places[i]] = usable ? w * predicted[cell] : 0;
            if (usable) {
                total += w;
                sum += w * strain[cell];
                predictedSquares += w * predicted[cell] * predicted[cell];
                trustedCells++;
            }
        }
        if (trustedCells > 0) {
            mean = sum / total;
            predictedDeviation = Math.sqrt(predictedSquares / total);
        }
        return this;
    }

    private static boolean isUsable(boolean trusted, float strain, float predicted) {
        return trusted && !Float.isNaN(strain) && predicted >= 0;
    }

    /** Sum of weighted squares of what is off the mean. */
    private double squares() {
        if (Double.isNaN(squares)) {
            squares = 0;
            for (int i = 0; i < places.length; i++) {
                double d = values[i] - mean;
                squares += weights[places[i]] * d * d;
            }
        }
        return squares;
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
        return Math.min(1, total / mask.area());
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
        // The mean of correlated cells follows them: their spread about it is too small.
        double left = 1 - 1 / independentCells();
        return left > 0.05 ? Math.sqrt(squares() / total / left) : Double.NaN;
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
        if (trustedCells == 0) {
            return 0;
        }
        if (Double.isNaN(correlatedWeights)) {
            correlatedWeights = correlated.of(weights);
        }
        return total * total / correlatedWeights;
    }

    /**
     * Standard deviation of the mean.
     *
     * @return deviation; NaN if nothing is trusted
     */
    public double meanDeviation() {
        if (trustedCells == 0) {
            return Double.NaN;
        }
        if (Double.isNaN(meanVariance)) {
            meanVariance = correlated.of(weightedDeviations);
        }
        double known = Math.sqrt(meanVariance) / total;
        double excess = deviation() / predictedDeviation;
        return excess > 1 ? known * excess : known;
    }

    /**
     * Signal-to-noise ratio of the strain seen: size of the mean over the deviation (Varghese &amp;
     * Ophir, IEEE Trans UFFC 44(1):164&ndash;172, 1997). Meant for a region of even tissue.
     *
     * @return ratio, 0 or more; NaN if it is not known
     */
    public double signalToNoise() {
        return Math.abs(mean) / deviation();
    }
}
