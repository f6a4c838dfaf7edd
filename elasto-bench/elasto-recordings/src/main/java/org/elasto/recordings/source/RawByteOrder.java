package org.elasto.recordings.source;

import java.nio.ByteOrder;

/** Byte order of raw samples. */
public enum RawByteOrder {
    /** Least significant byte first, as on nearly all of today's machines. */
    LITTLE_ENDIAN(ByteOrder.LITTLE_ENDIAN),
    /** Most significant byte first. */
    BIG_ENDIAN(ByteOrder.BIG_ENDIAN);

    private final ByteOrder order;

    RawByteOrder(ByteOrder order) {
        this.order = order;
    }

    ByteOrder order() {
        return order;
    }
}
