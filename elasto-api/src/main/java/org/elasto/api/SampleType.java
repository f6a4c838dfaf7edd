package org.elasto.api;

/** How the samples of an RF frame are stored. */
public enum SampleType {
    /** 16-bit signed integers, as acquisition cards deliver them. */
    INT16,
    /** 32-bit floating point. */
    FLOAT32
}
