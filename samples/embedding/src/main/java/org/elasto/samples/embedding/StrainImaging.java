package org.elasto.samples.embedding;

import java.util.concurrent.Executor;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.live.LiveFailure;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveListener;
import org.elasto.strain.live.LiveSession;
import org.elasto.strain.live.LiveSetup;

// Strain imaging begins here.
/** All that strain imaging adds to the scanner's software. */
final class StrainImaging
        implements AcquisitionCard.Receiver, Screen.Source, LiveListener, AutoCloseable {

    private final RfFrame[] frames;
    private final LiveSession session;

    StrainImaging(AcquisitionCard card, Executor executor, String estimator, String parameters) {
        var s = card.scan();
        ScanGeometry geometry =
                ScanGeometry.linear(
                        s.lines(),
                        s.samplesPerLine(),
                        s.samplingHertz(),
                        s.transmitHertz(),
                        s.soundMetresPerSecond(),
                        0,
                        s.pitchMetres(),
                        s.framesPerSecond());
        frames = new RfFrame[card.buffers()];
        for (int i = 0; i < frames.length; i++) { // views of the ring, made once
            frames[i] = RfFrame.of(geometry, card.buffer(i), 0, s.lineStride());
        }
        LiveSetup setup = LiveSetup.of(geometry).workers(Workers.on(executor, 2)).listener(this);
        session = setup.displacement(estimator, parameters).start();
    }

    @Override
    public void acquired(int buffer, long frame, long nanos) {
        session.offer(frames[buffer].stamp(frame, nanos)); // copies and returns at once
    }

    @Override
    public void show(Screen screen) {
        try (LiveImage image = session.take()) {
            if (image != null) {
                screen.draw(image.picture().argb(), image.timeNanos());
            }
        }
    }

    @Override
    public void failed(LiveFailure failure) {
        System.err.println(failure);
    }

    LiveCounters counters() {
        return session.counters();
    }

    @Override
    public void close() {
        session.close();
    }
}
// Strain imaging ends here.
