/**
 * Motion of material points in closed form: where a point of the tissue goes under a load.
 *
 * <p>Each {@link org.elasto.phantoms.motion.Motion} gives displacement and gradient at the place a
 * point has at rest. Elastic ones hold for incompressible, linear material.
 */
package org.elasto.phantoms.motion;
