package org.elasto.conformance;

import java.util.Objects;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicLong;

/** Which fault comes at which call. Thread-safe. */
final class FaultPlan {

    private final ConcurrentHashMap<Long, Fault> faults = new ConcurrentHashMap<>();
    private final AtomicLong calls = new AtomicLong();

    void at(long call, Fault fault) {
        if (call < 0) {
            throw new IllegalArgumentException("call is " + call + "; calls are counted from 0");
        }
        faults.put(call, Objects.requireNonNull(fault, "fault is missing"));
    }

    /** Counts a call and throws if that is its fault; otherwise its fault, or null. */
    Fault next() {
        long call = calls.getAndIncrement();
        Fault fault = faults.get(call);
        if (fault == Fault.THROWS) {
            throw new InjectedFault(call);
        }
        return fault;
    }

    long calls() {
        return calls.get();
    }
}
