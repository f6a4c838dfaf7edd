package org.elasto.strain.live;

import java.util.Collections;
import java.util.EnumMap;
import java.util.Map;

/**
 * What a session has done so far: a snapshot. Every frame that came in is waiting, dropped, refused
 * with a reason, or compared. Immutable and thread-safe.
 *
 * @param framesIn frames that were handed over
 * @param waiting frames that wait or are being worked on
 * @param dropped frames that were dropped because the session was behind
 * @param refused frames that gave no strain, by reason; reasons that did not occur are left out
 * @param compared frames whose strain has entered the average
 * @param taken images that were taken
 * @param failures exceptions thrown by plugins and listeners, and broken contracts
 * @param stageNanos time spent in each stage (ns)
 */
public record LiveCounters(
        long framesIn,
        long waiting,
        long dropped,
        Map<Refusal, Long> refused,
        long compared,
        long taken,
        long failures,
        Map<Stage, Long> stageNanos) {

    public LiveCounters {
        refused = copy(Refusal.class, refused);
        stageNanos = copy(Stage.class, stageNanos);
    }

    /**
     * Frames refused for any reason.
     *
     * @return their number
     */
    public long refusedInAll() {
        return refused.values().stream().mapToLong(Long::longValue).sum();
    }

    private static <E extends Enum<E>> Map<E, Long> copy(Class<E> type, Map<E, Long> map) {
        Map<E, Long> copy = new EnumMap<>(type);
        copy.putAll(map);
        return Collections.unmodifiableMap(copy);
    }
}
