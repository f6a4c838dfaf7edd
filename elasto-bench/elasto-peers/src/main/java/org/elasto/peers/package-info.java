/**
 * Tracking by general-purpose libraries, to compare with: what a careful engineer would reach with
 * a computer vision or mathematics library and without this project. Every such tracker is a
 * displacement estimator like ours, so that the same commands measure time and error of both.
 *
 * <p>A peer says in {@link org.elasto.peers.PeerProvider#settings} which settings are worth
 * comparing; the best of them counts. All work on one {@link org.elasto.peers.EchoImage} a frame.
 */
package org.elasto.peers;
