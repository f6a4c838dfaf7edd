/**
 * The live session: takes frames as they come, chooses which two to compare, tracks,
 * differentiates, judges, relates strain to its surroundings, averages over time, and hands out
 * finished images with plain advice on the motion.
 *
 * <p>{@link org.elasto.strain.live.LiveSetup} says what to use; it makes a {@link
 * org.elasto.strain.live.LiveSession} with a thread of its own, or {@link
 * org.elasto.strain.live.LiveSteps} to be called frame by frame. Both do the same to the bit.
 */
package org.elasto.strain.live;
