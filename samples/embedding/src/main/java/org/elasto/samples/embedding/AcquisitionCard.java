package org.elasto.samples.embedding;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.ShortBuffer;
import java.util.concurrent.locks.LockSupport;
import org.elasto.api.RfFrame;
import org.elasto.phantoms.Phantom;

/**
 * The scanner's own: writes one frame after the other into a ring of direct buffers, fifty times a
 * second, and says from its own thread which buffer is full. A buffer is written again as soon as
 * the ring has come round. What the probe would see is a phantom's frames, over and over.
 */
final class AcquisitionCard implements AutoCloseable {

    /** What scanner software knows of a scan. */
    record Scan(
            int lines,
            int samplesPerLine,
            int lineStride,
            double samplingHertz,
            double transmitHertz,
            double soundMetresPerSecond,
            double pitchMetres,
            double framesPerSecond) {}

    /** Is told of full buffers, by the acquisition's thread, which must not be held up. */
    interface Receiver {
        void acquired(int buffer, long frame, long nanos);
    }

    private static final int BUFFERS = 6;
    private static final int ALIGNMENT = 32;

    private final Scan scan;
    private final ShortBuffer[] ring = new ShortBuffer[BUFFERS];
    private final short[][] seen;
    private final Thread thread;
    private volatile Receiver receiver;
    private volatile boolean closed;
    private volatile long acquired;

    AcquisitionCard(Phantom probe) {
        var g = probe.geometry();
        int stride = (g.samples() + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
        scan =
                new Scan(
                        g.lines(),
                        g.samples(),
                        stride,
                        g.samplingFrequency(),
                        g.centreFrequency(),
                        g.soundSpeed(),
                        g.lineSpacing(0),
                        g.frameRate());
        for (int i = 0; i < BUFFERS; i++) {
            ring[i] =
                    ByteBuffer.allocateDirect(scan.lines * stride * Short.BYTES)
                            .order(ByteOrder.nativeOrder())
                            .asShortBuffer();
        }
        seen = new short[probe.frameCount()][scan.lines * scan.samplesPerLine];
        for (int i = 0; i < seen.length; i++) {
            probe.read(i, RfFrame.of(g, seen[i]));
        }
        thread = new Thread(this::run, "acquisition");
        thread.setDaemon(true);
    }

    Scan scan() {
        return scan;
    }

    int buffers() {
        return BUFFERS;
    }

    ShortBuffer buffer(int number) {
        return ring[number];
    }

    long acquired() {
        return acquired;
    }

    void start(Receiver to) {
        receiver = to;
        thread.start();
    }

    private void run() {
        long period = (long) (1e9 / scan.framesPerSecond);
        long due = System.nanoTime();
        for (long frame = 0; !closed; frame++) {
            int buffer = (int) (frame % BUFFERS);
            short[] samples = seen[(int) (frame % seen.length)];
            for (int line = 0; line < scan.lines; line++) {
                ring[buffer].put(
                        line * scan.lineStride,
                        samples,
                        line * scan.samplesPerLine,
                        scan.samplesPerLine);
            }
            receiver.acquired(buffer, frame, System.nanoTime());
            acquired = frame + 1;
            due += period;
            long left = due - System.nanoTime();
            while (left > 0 && !closed) {
                LockSupport.parkNanos(left);
                left = due - System.nanoTime();
            }
        }
    }

    /** Stops; what has been acquired has been handed over. */
    void stop() {
        closed = true;
        LockSupport.unpark(thread);
        Threads.join(thread);
    }

    @Override
    public void close() {
        stop();
    }
}
