package org.elasto.peers.opencv;

import nu.pattern.OpenCV;
import org.opencv.core.Core;

/** The library's native half. */
final class Native {

    static {
        OpenCV.loadLocally();
    }

    private Native() {}

    /** Loads it the first time and lets it use so many threads from now on. */
    static void threads(int count) {
        Core.setNumThreads(count);
    }
}
