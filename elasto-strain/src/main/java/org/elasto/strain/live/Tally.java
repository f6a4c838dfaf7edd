package org.elasto.strain.live;

import java.util.EnumMap;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicLongArray;

/** The counters while they count. Thread-safe; counting allocates nothing. */
final class Tally {

    private static final Refusal[] REFUSALS = Refusal.values();
    private static final Stage[] STAGES = Stage.values();

    final AtomicLong framesIn = new AtomicLong();
    final AtomicLong dropped = new AtomicLong();
    final AtomicLong compared = new AtomicLong();
    final AtomicLong taken = new AtomicLong();
    final AtomicLong failures = new AtomicLong();
    private final AtomicLongArray refused = new AtomicLongArray(REFUSALS.length);
    private final AtomicLongArray nanos = new AtomicLongArray(STAGES.length);

    void refuse(Refusal reason) {
        refused.incrementAndGet(reason.ordinal());
    }

    /** Books the time since a moment under a stage and returns the moment now. */
    long spend(Stage stage, long since) {
        long now = System.nanoTime();
        nanos.addAndGet(stage.ordinal(), now - since);
        return now;
    }

    LiveCounters snapshot() {
        // What came in is read last, so that no frame that is accounted for seems not to have come.
        Map<Refusal, Long> reasons = new EnumMap<>(Refusal.class);
        long droppedNow = dropped.get();
        long comparedNow = compared.get();
        for (Refusal reason : REFUSALS) {
            long count = refused.get(reason.ordinal());
            if (count > 0) {
                reasons.put(reason, count);
            }
        }
        Map<Stage, Long> times = new EnumMap<>(Stage.class);
        for (Stage stage : STAGES) {
            times.put(stage, nanos.get(stage.ordinal()));
        }
        long refusedNow = reasons.values().stream().mapToLong(Long::longValue).sum();
        long in = framesIn.get();
        return new LiveCounters(
                in,
                in - droppedNow - comparedNow - refusedNow,
                droppedNow,
                reasons,
                comparedNow,
                taken.get(),
                failures.get(),
                times);
    }
}
