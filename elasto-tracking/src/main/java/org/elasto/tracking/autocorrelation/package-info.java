/**
 * Displacement from the phase of the lag-one autocorrelation between two frames, with the centre
 * frequency as given or as measured on the spot.
 */
package org.elasto.tracking.autocorrelation;
