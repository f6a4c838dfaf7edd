package org.elasto.peers.boofcv;

/** The library's dense optical flows that find fractions of a pixel. */
public enum BoofFlow {
    /** Horn and Schunck's in a pyramid. */
    HORN_SCHUNCK_PYRAMID,
    /** With warps, robust against outliers. */
    BROX_WARPING
}
