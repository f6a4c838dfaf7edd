package org.elasto.compare;

import java.io.IOException;
import java.lang.ref.SoftReference;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.plugin.FrameSource;

/**
 * Frames and true motion of one source, kept for the next case as long as there is memory. Frames
 * are shared and must not be changed.
 */
final class KeptFrames {

    private record MotionKey(int first, int second, RowGrid grid) {}

    private final FrameSource frames;
    private final List<SoftReference<RfFrame>> kept = new ArrayList<>();
    private final TrueMotion motion;

    KeptFrames(FrameSource frames, TrueMotion motion) {
        this.frames = frames;
        this.motion = motion == null ? null : new KeptMotion(motion);
        for (int i = 0; i < frames.frameCount(); i++) {
            kept.add(new SoftReference<>(null));
        }
    }

    FrameSource source() {
        return frames;
    }

    /** The true motion, null if it is not known. */
    TrueMotion motion() {
        return motion;
    }

    RfFrame frame(int index) throws IOException {
        RfFrame frame = kept.get(index).get();
        if (frame == null) {
            frame = frames.read(index);
            kept.set(index, new SoftReference<>(frame));
        }
        return frame;
    }

    private static final class KeptMotion implements TrueMotion {
        private final TrueMotion motion;
        private final Map<MotionKey, SoftReference<double[]>> kept = new HashMap<>();

        KeptMotion(TrueMotion motion) {
            this.motion = motion;
        }

        @Override
        public double[] axial(int first, int second, RowGrid grid) throws IOException {
            MotionKey key = new MotionKey(first, second, grid);
            SoftReference<double[]> reference = kept.get(key);
            double[] axial = reference == null ? null : reference.get();
            if (axial == null) {
                axial = motion.axial(first, second, grid);
                kept.put(key, new SoftReference<>(axial));
            }
            return axial;
        }

        @Override
        public double applied(int first, int second) {
            return motion.applied(first, second);
        }

        @Override
        public double bound(int first, int second, double depth, double windowLength) {
            return motion.bound(first, second, depth, windowLength);
        }

        @Override
        public double signalToNoise(double depth) {
            return motion.signalToNoise(depth);
        }

        @Override
        public List<Round> inclusions() {
            return motion.inclusions();
        }

        @Override
        public void close() throws IOException {
            motion.close();
        }
    }
}
