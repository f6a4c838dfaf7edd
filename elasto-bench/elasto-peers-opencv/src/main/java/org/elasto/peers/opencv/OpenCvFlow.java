package org.elasto.peers.opencv;

/** The library's dense optical flows. */
public enum OpenCvFlow {
    /** Inverse search, its fast preset. */
    INVERSE_SEARCH_FAST,
    /** Inverse search, its medium preset. */
    INVERSE_SEARCH_MEDIUM,
    /** Polynomial expansion. */
    POLYNOMIAL
}
