/**
 * Measurements in regions that the caller draws: strain and how well it is known, strain ratio,
 * contrast to noise, and the size of an inclusion in strain and in echo.
 *
 * <pre>{@code
 * Region lump = Region.ellipseMillimetres(-4, 20, 3, 3);
 * Region beside = Region.polygonMillimetres(6, 17, 11, 17, 11, 23, 6, 23);
 * RegionStatistics inside = new RegionStatistics(lump, strain.layout(), field.layout());
 * RegionStatistics outside = new RegionStatistics(beside, strain.layout(), field.layout());
 *
 * inside.update(strain);     // with every image, without garbage
 * outside.update(strain);
 * RegionComparison both = RegionComparison.of(inside, outside);
 * show(both.ratio(), both.ratioDeviation(), both.contrastToNoise());
 *
 * InclusionOutline finder =
 *         new InclusionOutline(strain.layout().geometry(), strain.layout().grid(), 0.5e-3);
 * InclusionSize size = finder.measure(strain.axial(), strain.trusted(), lump, beside);
 * }</pre>
 *
 * <p>Research and engineering use, not a medical device, no diagnosis. A strain ratio is not a
 * stiffness ratio: {@link org.elasto.strain.measure.RegionComparison} says why.
 */
package org.elasto.strain.measure;
