/**
 * Strain of least total variation: even stretches with sharp edges.
 *
 * <p>Exported: {@link org.elasto.strain.totalvariation.TotalVariationProvider} and its config.
 */
package org.elasto.strain.totalvariation;
