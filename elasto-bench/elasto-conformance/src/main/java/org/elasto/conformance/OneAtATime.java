package org.elasto.conformance;

import java.util.concurrent.atomic.AtomicReference;

/** Sees that no two threads are in a call at the same time, nor one thread twice. */
final class OneAtATime {

    private final String what;
    private final AtomicReference<Thread> inside = new AtomicReference<>();

    OneAtATime(String what) {
        this.what = what;
    }

    void enter() {
        Thread other = inside.compareAndExchange(null, Thread.currentThread());
        if (other != null) {
            throw new ContractViolation(
                    what
                            + " is called by thread "
                            + Thread.currentThread().getName()
                            + " while a call by "
                            + other.getName()
                            + " is under way; one thread at a time");
        }
    }

    void leave() {
        inside.set(null);
    }
}
