/**
 * Strain by smoothing polynomials in depth and across the lines.
 *
 * <p>Exported: {@link org.elasto.strain.smoothing.SmoothingDerivativeProvider} and its config.
 */
package org.elasto.strain.smoothing;
