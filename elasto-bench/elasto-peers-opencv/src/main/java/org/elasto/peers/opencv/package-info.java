/** Trackers made from OpenCV: dense optical flow and template matching. */
package org.elasto.peers.opencv;
