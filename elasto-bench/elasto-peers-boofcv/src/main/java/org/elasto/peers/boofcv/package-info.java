/** Trackers made from BoofCV: dense optical flow and template matching. */
package org.elasto.peers.boofcv;
