/**
 * Strain as the slope of a line whose window follows the predicted deviation.
 *
 * <p>Exported: {@link org.elasto.strain.adaptive.AdaptiveWindowProvider} and its config.
 */
package org.elasto.strain.adaptive;
