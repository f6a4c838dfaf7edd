/**
 * Synthetic RF frames of moving tissue whose motion is known exactly, and what a motion estimate
 * can reach at best.
 *
 * <p>{@link org.elasto.phantoms.Phantom} is a frame source built piece by piece; {@link
 * org.elasto.phantoms.Phantoms} has ready scenes by name, which {@link
 * org.elasto.phantoms.PhantomProvider} offers to whoever opens sources by name. {@link
 * org.elasto.phantoms.ShiftedNoise} makes pairs of frames for comparison with the {@link
 * org.elasto.phantoms.CramerRaoBound}.
 */
package org.elasto.phantoms;
