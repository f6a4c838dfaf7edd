package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.BrokenBarrierException;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicIntegerArray;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * All kinds of workers against their contract. The time-outs only turn a deadlock into a failure;
 * they are many times what the tests take.
 */
@Timeout(value = 60, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class WorkersTest {

    /** Ways to get workers. */
    enum Kind {
        SEQUENTIAL,
        ONE_THREAD,
        TWO_THREADS,
        FIVE_THREADS,
        ON_POOL,
        ON_SINGLE_THREAD,
        ON_CALLING_THREAD
    }

    private final List<Workers> made = new ArrayList<>();
    private final List<ExecutorService> executors = new ArrayList<>();

    private Workers make(Kind kind) {
        Workers workers =
                switch (kind) {
                    case SEQUENTIAL -> Workers.sequential();
                    case ONE_THREAD -> Workers.threads(1);
                    case TWO_THREADS -> Workers.threads(2);
                    case FIVE_THREADS -> Workers.threads(5);
                    case ON_POOL -> Workers.on(executor(Executors.newFixedThreadPool(3)), 4);
                    case ON_SINGLE_THREAD ->
                            Workers.on(executor(Executors.newSingleThreadExecutor()), 3);
                    case ON_CALLING_THREAD -> Workers.on(Runnable::run, 3);
                };
        made.add(workers);
        return workers;
    }

    private Workers threads(int n) {
        Workers workers = Workers.threads(n);
        made.add(workers);
        return workers;
    }

    private <E extends ExecutorService> E executor(E executor) {
        executors.add(executor);
        return executor;
    }

    @AfterEach
    void end() {
        made.forEach(Workers::close);
        executors.forEach(ExecutorService::shutdownNow);
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void everyTaskIsDoneOnce(Kind kind) {
        Workers workers = make(kind);
        for (int tasks : new int[] {0, 1, 2, 3, 4, 5, 6, 7, 100, 5000}) {
            AtomicIntegerArray done = new AtomicIntegerArray(tasks);
            workers.run(tasks, (task, worker) -> done.incrementAndGet(task));
            for (int i = 0; i < tasks; i++) {
                assertEquals(1, done.get(i), "task " + i + " of " + tasks);
            }
        }
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void workerNumbersAreTakenByOneTaskAtATime(Kind kind) {
        Workers workers = make(kind);
        int count = workers.count();
        AtomicIntegerArray inUse = new AtomicIntegerArray(count);
        AtomicInteger clashes = new AtomicInteger();
        AtomicInteger tasksSeen = new AtomicInteger();
        Set<Integer> numbers = ConcurrentHashMap.newKeySet();
        for (int round = 0; round < 200; round++) {
            workers.run(
                    50,
                    (task, worker) -> {
                        numbers.add(worker);
                        if (!inUse.compareAndSet(worker, 0, 1)) {
                            clashes.incrementAndGet();
                        }
                        Thread.yield();
                        inUse.set(worker, 0);
                        tasksSeen.incrementAndGet();
                    });
        }
        assertEquals(0, clashes.get());
        assertEquals(200 * 50, tasksSeen.get());
        assertTrue(Collections.min(numbers) >= 0 && Collections.max(numbers) < count);
    }

    /** Tasks that wait for one another can only end if as many threads are at work. */
    @ParameterizedTest
    @EnumSource(names = {"TWO_THREADS", "FIVE_THREADS", "ON_POOL"})
    void tasksRunAtTheSameTime(Kind kind) {
        Workers workers = make(kind);
        for (int round = 0; round < 20; round++) {
            meet(workers, workers.count());
        }
    }

    private static void meet(Workers workers, int parties) {
        CyclicBarrier barrier = new CyclicBarrier(parties);
        Set<Integer> numbers = ConcurrentHashMap.newKeySet();
        workers.run(
                parties,
                (task, worker) -> {
                    numbers.add(worker);
                    await(barrier);
                });
        assertEquals(parties, numbers.size());
    }

    private static void await(CyclicBarrier barrier) {
        try {
            barrier.await(20, TimeUnit.SECONDS);
        } catch (InterruptedException | BrokenBarrierException | TimeoutException e) {
            throw new IllegalStateException("the tasks did not meet", e);
        }
    }

    private static void await(CountDownLatch latch) {
        try {
            assertTrue(latch.await(20, TimeUnit.SECONDS), "waited in vain");
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void whatATaskThrowsIsPassedOnAndTheWorkersGoOn(Kind kind) {
        Workers workers = make(kind);
        Throwable[] thrown = {new IllegalArgumentException("task"), new AssertionError("task")};
        for (int round = 0; round < 50; round++) {
            for (Throwable expected : thrown) {
                AtomicInteger begun = new AtomicInteger();
                Throwable actual =
                        assertThrows(
                                Throwable.class,
                                () ->
                                        workers.run(
                                                100_000,
                                                (task, worker) -> {
                                                    begun.incrementAndGet();
                                                    // Early in whatever a worker begins with.
                                                    if (task % 1000 == 3) {
                                                        raise(expected);
                                                    }
                                                }));
                assertSame(expected, actual);
                assertTrue(begun.get() < 100_000, "tasks not yet begun are left out");
            }
            AtomicInteger done = new AtomicInteger();
            workers.run(10, (task, worker) -> done.incrementAndGet());
            assertEquals(10, done.get());
        }
    }

    private static void raise(Throwable thrown) {
        if (thrown instanceof Error error) {
            throw error;
        }
        throw (RuntimeException) thrown;
    }

    /** Two workers that begin at the same time begin at either half, in every run. */
    @Test
    void everyWorkerHasAStretchForItself() {
        Workers workers = threads(2);
        for (int round = 0; round < 20; round++) {
            CyclicBarrier together = new CyclicBarrier(2);
            int[] firstTask = {-1, -1};
            workers.run(
                    10,
                    (task, worker) -> {
                        if (firstTask[worker] < 0) {
                            firstTask[worker] = task;
                            await(together);
                        }
                    });
            assertArrayEquals(new int[] {0, 5}, firstTask);
        }
    }

    /** Both tasks fail at the same time: one exception is thrown and the other attached to it. */
    @Test
    void noExceptionIsLost() {
        Workers workers = threads(2);
        for (int round = 0; round < 100; round++) {
            CyclicBarrier barrier = new CyclicBarrier(2);
            RuntimeException thrown =
                    assertThrows(
                            RuntimeException.class,
                            () ->
                                    workers.run(
                                            2,
                                            (task, worker) -> {
                                                await(barrier);
                                                throw new RuntimeException("task " + task);
                                            }));
            assertEquals(1, thrown.getSuppressed().length);
            Set<String> messages =
                    Set.of(thrown.getMessage(), thrown.getSuppressed()[0].getMessage());
            assertEquals(Set.of("task 0", "task 1"), messages);
        }
    }

    /** The same exception object from two tasks must not be attached to itself. */
    @Test
    void oneExceptionThrownTwiceIsThrownOnce() {
        Workers workers = threads(2);
        RuntimeException only = new RuntimeException("twice");
        CyclicBarrier barrier = new CyclicBarrier(2);
        RuntimeException thrown =
                assertThrows(
                        RuntimeException.class,
                        () ->
                                workers.run(
                                        2,
                                        (task, worker) -> {
                                            await(barrier);
                                            throw only;
                                        }));
        assertSame(only, thrown);
        assertEquals(0, thrown.getSuppressed().length);
    }

    /** The executor refuses every helper, the second one, or none. */
    @Test
    void aRefusalIsPassedOnAndTheWorkersGoOn() {
        ExecutorService pool = executor(Executors.newFixedThreadPool(2));
        AtomicInteger accepted = new AtomicInteger();
        RejectedExecutionException refusal = new RejectedExecutionException("full");
        for (int round = 0; round < 100; round++) {
            Workers workers =
                    Workers.on(
                            command -> {
                                if (accepted.getAndDecrement() <= 0) {
                                    throw refusal;
                                }
                                pool.execute(command);
                            },
                            3);
            accepted.set(round % 2);
            RejectedExecutionException thrown =
                    assertThrows(
                            RejectedExecutionException.class,
                            () -> workers.run(9, (task, worker) -> {}));
            assertSame(refusal, thrown);
            accepted.set(100);
            AtomicInteger done = new AtomicInteger();
            workers.run(9, (task, worker) -> done.incrementAndGet());
            assertEquals(9, done.get());
            meet(workers, 3);
        }
    }

    /** Executors also throw errors, for instance when no more threads can be made. */
    @Test
    void anErrorOfTheExecutorIsPassedOnAndTheWorkersGoOn() {
        ExecutorService pool = executor(Executors.newFixedThreadPool(1));
        CountDownLatch helping = new CountDownLatch(1);
        AtomicInteger calls = new AtomicInteger();
        OutOfMemoryError error = new OutOfMemoryError("unable to create native thread");
        Workers workers =
                Workers.on(
                        command -> {
                            if (calls.incrementAndGet() == 2) {
                                await(helping);
                                throw error;
                            }
                            pool.execute(command);
                        },
                        3);
        AtomicInteger ended = new AtomicInteger();
        OutOfMemoryError thrown =
                assertThrows(
                        OutOfMemoryError.class,
                        () ->
                                workers.run(
                                        9,
                                        (task, worker) -> {
                                            helping.countDown();
                                            sleep();
                                            ended.incrementAndGet();
                                        }));
        assertSame(error, thrown);
        // The first helper was at work already: its task has ended before run returned.
        assertTrue(ended.get() >= 1);
        AtomicInteger done = new AtomicInteger();
        workers.run(9, (task, worker) -> done.incrementAndGet());
        assertEquals(9, done.get());
    }

    private static void sleep() {
        try {
            Thread.sleep(20);
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }

    @Test
    void aShutDownExecutorRefuses() {
        ExecutorService pool = Executors.newFixedThreadPool(1);
        pool.shutdown();
        Workers workers = Workers.on(pool, 2);
        assertThrows(RejectedExecutionException.class, () -> workers.run(2, (task, worker) -> {}));
        assertThrows(RejectedExecutionException.class, () -> workers.run(2, (task, worker) -> {}));
    }

    /** The caller is the executor's only thread, and its queue must not grow run by run. */
    @Test
    void theCallersOwnSingleThreadNeitherDeadlocksNorPilesUp() throws Exception {
        ThreadPoolExecutor single =
                executor(
                        new ThreadPoolExecutor(
                                1, 1, 0, TimeUnit.SECONDS, new LinkedBlockingQueue<>()));
        Workers workers = Workers.on(single, 4);
        AtomicInteger done = new AtomicInteger();
        Future<Integer> longest =
                single.submit(
                        () -> {
                            int most = 0;
                            for (int round = 0; round < 1000; round++) {
                                workers.run(8, (task, worker) -> done.incrementAndGet());
                                most = Math.max(most, single.getQueue().size());
                            }
                            return most;
                        });
        assertEquals(3, longest.get(30, TimeUnit.SECONDS));
        assertEquals(8000, done.get());
        // The helpers that were left in the queue are free again, and join.
        for (int round = 0; round < 20; round++) {
            meet(workers, 2);
        }
    }

    @Test
    void aBusyExecutorLeavesTheWorkToTheCaller() {
        ExecutorService pool = executor(Executors.newFixedThreadPool(2));
        CountDownLatch free = new CountDownLatch(1);
        pool.execute(() -> await(free));
        pool.execute(() -> await(free));
        Workers workers = Workers.on(pool, 3);
        Set<Integer> numbers = ConcurrentHashMap.newKeySet();
        for (int round = 0; round < 100; round++) {
            workers.run(10, (task, worker) -> numbers.add(worker));
        }
        assertEquals(Set.of(0), numbers);
        free.countDown();
        meet(workers, 3);
    }

    @ParameterizedTest
    @EnumSource(
            value = Kind.class,
            mode = EnumSource.Mode.EXCLUDE,
            names = {"SEQUENTIAL"})
    void aRunWithinARunIsRefused(Kind kind) {
        Workers workers = make(kind);
        for (int round = 0; round < 20; round++) {
            IllegalStateException thrown =
                    assertThrows(
                            IllegalStateException.class,
                            () ->
                                    workers.run(
                                            2,
                                            (task, worker) -> workers.run(1, (inner, same) -> {})));
            assertTrue(thrown.getMessage().contains("already at work"), thrown.getMessage());
        }
        AtomicInteger done = new AtomicInteger();
        workers.run(10, (task, worker) -> done.incrementAndGet());
        assertEquals(10, done.get());
    }

    @ParameterizedTest
    @EnumSource(
            value = Kind.class,
            mode = EnumSource.Mode.EXCLUDE,
            names = {"SEQUENTIAL"})
    void aRunFromAnotherThreadIsRefusedMeanwhile(Kind kind) throws Exception {
        Workers workers = make(kind);
        CountDownLatch atWork = new CountDownLatch(1);
        CountDownLatch goOn = new CountDownLatch(1);
        Future<?> first =
                executor(Executors.newSingleThreadExecutor())
                        .submit(
                                () ->
                                        workers.run(
                                                1,
                                                (task, worker) -> {
                                                    atWork.countDown();
                                                    await(goOn);
                                                }));
        await(atWork);
        assertThrows(IllegalStateException.class, () -> workers.run(1, (task, worker) -> {}));
        goOn.countDown();
        first.get(20, TimeUnit.SECONDS);
        workers.run(3, (task, worker) -> {});
    }

    @Test
    void sequentialWorkersServeRunsWithinRunsInOrder() {
        List<Integer> order = new ArrayList<>();
        Workers.sequential()
                .run(
                        2,
                        (task, worker) ->
                                Workers.sequential()
                                        .run(2, (inner, same) -> order.add(10 * task + inner)));
        assertEquals(List.of(0, 1, 10, 11), order);
    }

    @Test
    void closedWorkersRefuse() {
        Workers workers = threads(3);
        workers.run(3, (task, worker) -> {});
        workers.close();
        workers.close();
        for (int tasks : new int[] {0, 1, 5}) {
            IllegalStateException thrown =
                    assertThrows(
                            IllegalStateException.class,
                            () -> workers.run(tasks, (task, worker) -> {}));
            assertEquals("these workers are closed", thrown.getMessage());
        }
    }

    @Test
    void closingWorkersWithoutThreadsChangesNothing() {
        for (Kind kind : new Kind[] {Kind.SEQUENTIAL, Kind.ON_POOL}) {
            Workers workers = make(kind);
            workers.close();
            AtomicInteger done = new AtomicInteger();
            workers.run(5, (task, worker) -> done.incrementAndGet());
            assertEquals(5, done.get());
        }
    }

    @Test
    void helpersAreDaemonsAndEndAfterClose() throws Exception {
        Workers workers = threads(4);
        Set<Thread> helpers = helpersOf(workers);
        assertEquals(3, helpers.size());
        for (Thread helper : helpers) {
            assertTrue(helper.isDaemon() && helper.isAlive(), helper.getName());
            assertTrue(helper.getName().startsWith("elasto-worker-"), helper.getName());
        }
        workers.close();
        assertEnd(helpers);
    }

    private static Set<Thread> helpersOf(Workers workers) {
        Set<Thread> threads = ConcurrentHashMap.newKeySet();
        CyclicBarrier barrier = new CyclicBarrier(workers.count());
        workers.run(
                workers.count(),
                (task, worker) -> {
                    threads.add(Thread.currentThread());
                    await(barrier);
                });
        threads.remove(Thread.currentThread());
        return threads;
    }

    private static void assertEnd(Set<Thread> threads) throws InterruptedException {
        for (Thread thread : threads) {
            thread.join(20_000);
            assertFalse(thread.isAlive(), thread.getName());
        }
    }

    @Test
    void aTaskMayCloseItsWorkers() throws Exception {
        Workers workers = threads(3);
        Set<Thread> helpers = helpersOf(workers);
        AtomicInteger done = new AtomicInteger();
        workers.run(
                100,
                (task, worker) -> {
                    workers.close();
                    done.incrementAndGet();
                });
        assertEquals(100, done.get());
        assertThrows(IllegalStateException.class, () -> workers.run(1, (task, worker) -> {}));
        assertEnd(helpers);
    }

    /** A session is closed in one thread while another hands in a frame. */
    @Test
    void closingWhileRunsComeInNeverHangsAndNeverLosesATask() throws Exception {
        ExecutorService runner = executor(Executors.newSingleThreadExecutor());
        Random random = new Random(1);
        int runs = 0;
        for (int round = 0; round < 400; round++) {
            Workers workers = Workers.threads(3);
            Set<Thread> helpers = helpersOf(workers);
            CountDownLatch started = new CountDownLatch(1);
            Future<Integer> finished =
                    runner.submit(
                            () -> {
                                started.countDown();
                                return runUntilClosed(workers);
                            });
            await(started);
            for (int i = random.nextInt(2000); i > 0; i--) {
                Thread.onSpinWait();
            }
            workers.close();
            runs += finished.get(20, TimeUnit.SECONDS);
            assertEnd(helpers);
        }
        assertTrue(runs > 0, "no run was ever under way");
    }

    private static int runUntilClosed(Workers workers) {
        for (int runs = 0; ; runs++) {
            AtomicInteger done = new AtomicInteger();
            int tasks = runs % 5;
            try {
                workers.run(tasks, (task, worker) -> done.incrementAndGet());
            } catch (IllegalStateException closed) {
                assertEquals("these workers are closed", closed.getMessage());
                assertEquals(0, done.get());
                return runs;
            }
            assertEquals(tasks, done.get());
        }
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void anInterruptStaysPendingAndStopsNothing(Kind kind) {
        Workers workers = make(kind);
        for (int round = 0; round < 50; round++) {
            AtomicInteger done = new AtomicInteger();
            Thread.currentThread().interrupt();
            workers.run(
                    20,
                    (task, worker) -> {
                        Thread.yield();
                        done.incrementAndGet();
                    });
            assertTrue(Thread.interrupted(), "the interrupt was lost");
            assertEquals(20, done.get());
            workers.run(20, (task, worker) -> {});
            assertFalse(Thread.interrupted(), "there was no interrupt");
        }
    }

    /** A helper left interrupted by a task would spin for ever instead of sleeping. */
    @Test
    void anInterruptedHelperSleepsAgain() throws Exception {
        Workers workers = threads(2);
        Thread helper = helpersOf(workers).iterator().next();
        Thread caller = Thread.currentThread();
        CyclicBarrier barrier = new CyclicBarrier(2);
        workers.run(
                2,
                (task, worker) -> {
                    await(barrier);
                    if (Thread.currentThread() != caller) {
                        Thread.currentThread().interrupt();
                    }
                });
        for (int i = 0; i < 2000 && helper.getState() != Thread.State.WAITING; i++) {
            Thread.sleep(5);
        }
        assertEquals(Thread.State.WAITING, helper.getState());
        assertFalse(helper.isInterrupted());
        meet(workers, 2);
    }

    /** Plain arrays, written by tasks and read by the caller, and the other way round. */
    @ParameterizedTest
    @EnumSource(Kind.class)
    void whatIsWrittenIsSeen(Kind kind) {
        Workers workers = make(kind);
        int[] in = new int[16];
        int[] out = new int[16];
        int[] expected = new int[16];
        Workers.Task add = (task, worker) -> out[task] = in[task] + 1;
        int rounds = 5000;
        for (int round = 0; round < rounds; round++) {
            Arrays.fill(expected, in[0] + 1);
            workers.run(16, add);
            assertArrayEquals(expected, out);
            Arrays.fill(in, out[15]);
        }
        assertEquals(rounds, in[0]);
    }

    @ParameterizedTest
    @EnumSource(
            value = Kind.class,
            mode = EnumSource.Mode.EXCLUDE,
            names = {"ON_POOL", "ON_SINGLE_THREAD"})
    void aRunAllocatesNothing(Kind kind) {
        Workers workers = make(kind);
        int[] out = new int[16];
        Workers.Task add = (task, worker) -> out[task]++;
        Thread other = Thread.currentThread();
        if (kind == Kind.TWO_THREADS) {
            other = helpersOf(workers).iterator().next();
            assertNotSame(Thread.currentThread(), other);
        }
        assertEquals(0, Allocation.ofCalls(() -> workers.run(16, add), other));
    }

    @Test
    void whatCannotBeDoneIsRefused() {
        for (int bad : new int[] {0, -1, 1025}) {
            String message = "number of workers is " + bad + "; it must be from 1 to 1024";
            refused(message, () -> Workers.threads(bad));
            refused(message, () -> Workers.on(Runnable::run, bad));
        }
        assertThrows(NullPointerException.class, () -> Workers.on(null, 2));
        for (Kind kind : Kind.values()) {
            Workers workers = make(kind);
            refused("number of tasks is -1", () -> workers.run(-1, (task, worker) -> {}));
            refused(
                    "number of tasks is 2147483647",
                    () -> workers.run(Integer.MAX_VALUE, (task, worker) -> {}));
            assertThrows(NullPointerException.class, () -> workers.run(0, null));
            workers.run(2, (task, worker) -> {});
        }
    }

    private static void refused(String message, org.junit.jupiter.api.function.Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }

    /**
     * A few seconds of everything at once: sizes, failures, and an executor that comes and goes.
     */
    @ParameterizedTest
    @EnumSource(names = {"FIVE_THREADS", "ON_POOL", "ON_SINGLE_THREAD"})
    void survivesStress(Kind kind) {
        Workers workers = make(kind);
        Random random = new Random(kind.ordinal());
        AtomicReference<RuntimeException> last = new AtomicReference<>();
        int failures = 0;
        for (int round = 0; round < 4000; round++) {
            int tasks = random.nextInt(40);
            int failing = random.nextInt(10) == 0 ? random.nextInt(40) : -1;
            int[] done = new int[tasks];
            RuntimeException expected = new RuntimeException("round " + round);
            last.set(null);
            try {
                workers.run(
                        tasks,
                        (task, worker) -> {
                            if (task == failing) {
                                throw expected;
                            }
                            done[task]++;
                        });
            } catch (RuntimeException thrown) {
                last.set(thrown);
                failures++;
            }
            boolean fails = failing >= 0 && failing < tasks;
            assertSame(fails ? expected : null, last.get());
            for (int i = 0; i < tasks; i++) {
                assertTrue(done[i] == 1 || fails && done[i] == 0, "task " + i);
            }
        }
        assertTrue(failures > 100);
    }
}
