/**
 * Strain as the slope of a weighted least-squares line through the displacements of a stretch of
 * depth, with its own predicted deviation.
 *
 * <p>Exported: {@link org.elasto.strain.leastsquares.LeastSquaresLineProvider} and its config.
 */
package org.elasto.strain.leastsquares;
