package org.elasto.phantoms;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.LineLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.elasto.phantoms.motion.Motion;
import org.elasto.phantoms.motion.Shift;
import org.elasto.phantoms.motion.UniformPress;

/**
 * RF frames of simulated tissue whose motion is known exactly.
 *
 * <p><b>Echo.</b> Point scatterers at random places, with amplitudes of random sign, many in each
 * resolution cell, so that speckle is fully developed. Each adds a pulse (cosine under a Gaussian)
 * at its exact, unrounded depth, weighted by a Gaussian two-way beam across that is narrowest at
 * the focus. Attenuation is that at the centre frequency; time-gain compensation undoes it up to a
 * limit, beyond which echoes sink towards the noise. Mean echo power does not depend on the beam's
 * width. White noise of the same level everywhere is added, and all is rounded and clipped to 16
 * bits, unless floats are asked for. An idealisation: no diffraction beyond the Gaussian beam, no
 * side lobes, no multiple scattering, no frequency-dependent attenuation.
 *
 * <p><b>Motion.</b> Every frame has its loads; scatterers are where the {@linkplain Motion motions}
 * put them, their displacements added up at the place at rest. Motion is in the image plane; motion
 * across it only swaps scatterers.
 *
 * <p><b>Convex probes.</b> Tissue lies and moves in the plane as before; each line hears it along
 * its own direction. A scatterer is at the depth that it has along the line through it, the beam
 * spreads along the arc and fans out with the lines. Bones are for linear arrays only.
 *
 * <p>Frames are the same bits in whatever order they are read and by however many workers. One
 * thread at a time for {@link #read(int, RfFrame)}; all else is thread-safe. For tests and
 * comparisons; not a medical device.
 */
public final class Phantom implements FrameSource {

    /** Tissue counts as visible between two frames from this correlation of its echoes on. */
    public static final double LEAST_VISIBLE_CORRELATION = 0.5;

    private static final long NOISE = 0x55;
    private static final int LINES_PER_BLOCK = 8;
    private static final double RING_DOWN_DEPTH = 0.6e-3;
    private static final double RING_DOWN_LEVEL = 4;

    private final String name;
    private final ScanGeometry geometry;
    private final SampleType sampleType;
    private final int frames;
    private final long seed;
    private final Workers workers;
    private final Deformation deformation;
    private final double[] press;
    private final double[] slice;
    private final List<Inclusion> inclusions;
    private final List<Bone> bones;
    private final List<LostContact> lostContacts;

    private final Pulse pulse;
    private final Beam beam;
    private final Scatterers scatterers;
    private final double density;
    private final double echoLevel;
    private final double noiseLevel;
    private final double scattererStrength;

    /** How many lines to either side hear a scatterer at most; the same at all depths. */
    private final double beamLines;

    private final float[] gain;

    // Workspace of read.
    private final double[] placeLine;
    private final double[] placeSample;
    private final double[] narrowness;
    private final float[] strength;
    private final double[] stripFirstLine;
    private final double[] stripLastLine;
    private final Worker[] perWorker;

    private Phantom(Builder b) {
        name = b.name;
        geometry = b.geometry;
        sampleType = b.sampleType;
        seed = b.seed;
        workers = b.workers;
        frames = b.frameCount();
        press = b.press == null ? new double[frames] : b.press.clone();
        slice = b.slice == null ? new double[frames] : b.slice.clone();
        inclusions = List.copyOf(b.inclusions);
        bones = List.copyOf(b.bones);
        lostContacts = List.copyOf(b.lostContacts);
        deformation = b.deformation(press);
        pulse = b.pulse();
        double attenuation = b.attenuation * geometry.centreFrequency();
        double focus = Double.isNaN(b.focusDepth) ? geometry.lastDepth() / 2 : b.focusDepth;
        beam = new Beam(geometry, focus, b.fNumber, attenuation, b.timeGainLimit);
        echoLevel = b.echoLevel;
        noiseLevel = echoLevel(b.noiseDepth) * Math.pow(10, -b.snr / 20);
        density = b.scatterersPerCell / (pulse.axialWidth() * beam.focusWidth());
        scattererStrength = echoLevel / Math.sqrt(density * pulse.energy());
        scatterers = makeScatterers();
        gain = new float[geometry.samples()];
        for (int i = 0; i < gain.length; i++) {
            gain[i] = (float) beam.gain(geometry.depthOfSample(i));
        }
        beamLines = beam.widestReach(focus) / geometry.lineSpacing(focus);
        int count = scatterers.count();
        placeLine = new double[count];
        placeSample = new double[count];
        narrowness = new double[count];
        strength = new float[count];
        stripFirstLine = new double[scatterers.strips()];
        stripLastLine = new double[scatterers.strips()];
        perWorker = new Worker[workers.count()];
        Arrays.setAll(perWorker, i -> new Worker());
    }

    /**
     * Begins a phantom with everything at its default.
     *
     * @return the builder
     */
    public static Builder builder() {
        return new Builder();
    }

    // ---------------------------------------------------------------- what it is

    @Override
    public String name() {
        return name;
    }

    @Override
    public ScanGeometry geometry() {
        return geometry;
    }

    @Override
    public SampleType sampleType() {
        return sampleType;
    }

    @Override
    public int frameCount() {
        return frames;
    }

    /**
     * The inclusions at rest.
     *
     * @return an immutable list
     */
    public List<Inclusion> inclusions() {
        return inclusions;
    }

    /**
     * The bones at rest.
     *
     * @return an immutable list
     */
    public List<Bone> bones() {
        return bones;
    }

    /**
     * How far the tissue is pressed in a frame.
     *
     * @param frame frame number
     * @return nominal strain, positive when pressed
     */
    public double pressAt(int frame) {
        return press[Objects.checkIndex(frame, frames)];
    }

    /**
     * Number of scatterers there are, tissue only.
     *
     * @return the number
     */
    public int scattererCount() {
        return scatterers.tissueCount();
    }

    /**
     * Mean number of scatterers in a resolution cell where the beam is narrowest: axial times
     * lateral resolution at the focus.
     *
     * @return the number
     */
    public double scatterersPerCell() {
        return density * axialResolution() * lateralResolution(beam.focusDepth());
    }

    /**
     * Depth over which the echo of one scatterer is above half its height.
     *
     * @return full width at -6 dB (m)
     */
    public double axialResolution() {
        return pulse.axialWidth();
    }

    /**
     * Width over which the two-way beam is above half its height.
     *
     * @param depth depth (m)
     * @return full width at -6 dB (m)
     */
    public double lateralResolution(double depth) {
        return Pulse.HALF_HEIGHT_WIDTH * beam.deviation(depth);
    }

    /**
     * Expected level of the tissue's echoes, after time-gain compensation.
     *
     * @param depth depth (m)
     * @return root mean square of the samples
     */
    public double echoLevel(double depth) {
        return echoLevel * beam.attenuated(depth) * beam.gain(depth);
    }

    /**
     * Level of the white noise, over all frequencies up to half the sampling frequency.
     *
     * @return root mean square of the samples, before rounding
     */
    public double noiseLevel() {
        return noiseLevel;
    }

    /**
     * Expected echo over noise.
     *
     * @param depth depth (m)
     * @return ratio of the root mean squares (dB)
     */
    public double signalToNoise(double depth) {
        return 20 * Math.log10(echoLevel(depth) / noiseLevel);
    }

    /**
     * Correlation that motion across the image plane leaves between two frames: 1 less the share of
     * scatterers that have been replaced.
     *
     * @param from a frame
     * @param to another frame
     * @return 0 to 1
     */
    public double correlation(int from, int to) {
        Objects.checkIndex(from, frames);
        Objects.checkIndex(to, frames);
        return Math.max(0, 1 - Math.abs(slice[from] - slice[to]));
    }

    /**
     * The smallest standard deviation that an unbiased estimate of axial displacement from one line
     * can have: {@link CramerRaoBound#delay} with the spectra of this phantom's pulse and noise.
     * Deformation within the window is left aside. Estimates that also use neighbouring lines may
     * do better, as lines are not independent of each other's tissue but are of its noise.
     *
     * @param from a frame
     * @param to another frame
     * @param depth middle of the window (m)
     * @param windowLength length of the window (m)
     * @return standard deviation (m); infinite if nothing is common to the two frames
     */
    public double displacementBound(int from, int to, double depth, double windowLength) {
        double common = correlation(from, to);
        if (common == 0) {
            return Double.POSITIVE_INFINITY;
        }
        double limit = geometry.samplingFrequency() / 2;
        double signal = Math.pow(echoLevel(depth), 2);
        double noise = Math.pow(noiseLevel, 2) / limit;
        // A coherence of 1 has no bound; rounding errors are left out of account otherwise.
        double most = 1 - 1e-15;
        double delay =
                CramerRaoBound.delay(
                        f -> {
                            double echo = signal * pulse.powerDensity(f);
                            double ratio = noise == 0 ? 1 : echo / (echo + noise);
                            return Math.min(most, common * ratio);
                        },
                        0,
                        limit,
                        2
                                * Check.positive("window length", windowLength, "m")
                                / geometry.soundSpeed());
        return CramerRaoBound.axialDisplacement(delay, geometry.soundSpeed());
    }

    Scatterers scatterers() {
        return scatterers;
    }

    // ---------------------------------------------------------------- motion

    /**
     * Where a material point is in a frame.
     *
     * @param frame frame number
     * @param x lateral place at rest (m)
     * @param z axial place at rest (m)
     * @param place receives x and z in the frame (m)
     */
    public void place(int frame, double x, double z, double[] place) {
        Objects.checkIndex(frame, frames);
        deformation.displacement(frame, x, z, place);
        place[0] += x;
        place[1] += z;
    }

    /**
     * How far the tissue that is at a place in one frame has moved in another.
     *
     * @param from frame in which it is at the place
     * @param to the other frame, before or after
     * @param x lateral place in the first (m)
     * @param z axial place in the first (m)
     * @param u receives lateral and axial displacement (m); NaN if no tissue has come to be there
     * @return false if no tissue has come to be there
     */
    public boolean displacement(int from, int to, double x, double z, double[] u) {
        Objects.checkIndex(from, frames);
        Objects.checkIndex(to, frames);
        double[] rest = new double[2];
        boolean found = deformation.rest(from, x, z, rest, u, new double[4]);
        if (found) {
            deformation.displacement(to, rest[0], rest[1], u);
            u[0] += rest[0] - x;
            u[1] += rest[1] - z;
        } else {
            Arrays.fill(u, 0, 2, Double.NaN);
        }
        return found;
    }

    /**
     * The true motion between two frames.
     *
     * @param from frame at whose places it is given
     * @param to frame into which tissue moves, before or after
     * @param grid depths of the rows
     * @return displacement, strain, and where they can be seen
     * @throws IndexOutOfBoundsException if there is no such frame
     */
    public Truth truth(int from, int to, RowGrid grid) {
        Objects.checkIndex(from, frames);
        Objects.checkIndex(to, frames);
        Truth truth = new Truth(from, to, geometry, grid, correlation(from, to));
        double[] rest = new double[2];
        double[] u = new double[2];
        double[] before = new double[4];
        double[] after = new double[4];
        for (int line = 0; line < geometry.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                int i = line * grid.rows() + row;
                double depth = grid.depth(row);
                double x = geometry.x(line, depth);
                double z = geometry.z(line, depth);
                if (!deformation.rest(from, x, z, rest, u, before)) {
                    truth.axial()[i] = Float.NaN;
                    truth.lateral()[i] = Float.NaN;
                    truth.axialStrain()[i] = Float.NaN;
                    continue;
                }
                deformation.displacement(to, rest[0], rest[1], u);
                double toX = rest[0] + u[0];
                double toZ = rest[1] + u[1];
                double toLine = geometry.lineAt(toX, toZ);
                truth.lateral()[i] = (float) ((toLine - line) * geometry.lineSpacing(depth));
                truth.axial()[i] = (float) (geometry.depthAt(toX, toZ) - depth);
                deformation.gradient(from, rest[0], rest[1], before);
                deformation.gradient(to, rest[0], rest[1], after);
                truth.axialStrain()[i] =
                        (float)
                                strain(
                                        before,
                                        after,
                                        geometry.angleOfLine(line),
                                        geometry.angleOfLine(toLine));
                truth.visible()[i] =
                        truth.correlation() >= LEAST_VISIBLE_CORRELATION
                                && hasContact(from, line)
                                && isSeen(to, toX, toZ)
                                && !isBehindBone(rest[0], rest[1]);
            }
        }
        return truth;
    }

    /**
     * Derivative of the displacement along the beam over the depth along the line at the place in
     * the first frame, from the gradients at rest of both and the direction of the beam through the
     * tissue in both: {@code r2 (1 + after) (1 + before)^-1 r1 - 1}.
     */
    private static double strain(double[] before, double[] after, double angle, double toAngle) {
        double xx = 1 + before[0];
        double zz = 1 + before[3];
        double det = xx * zz - before[1] * before[2];
        double sin = Math.sin(angle);
        double cos = Math.cos(angle);
        double restX = (zz * sin - before[1] * cos) / det;
        double restZ = (xx * cos - before[2] * sin) / det;
        double moreX = (after[0] - before[0]) * restX + (after[1] - before[1]) * restZ;
        double moreZ = (after[2] - before[2]) * restX + (after[3] - before[3]) * restZ;
        double turn = Math.sin((toAngle - angle) / 2);
        return Math.sin(toAngle) * moreX + Math.cos(toAngle) * moreZ - 2 * turn * turn;
    }

    private boolean hasContact(int frame, int line) {
        for (LostContact event : lostContacts) {
            if (event.covers(frame, line)) {
                return false;
            }
        }
        return true;
    }

    private boolean isSeen(int frame, double x, double z) {
        long line = Math.round(geometry.lineAt(x, z));
        double depth = geometry.depthAt(x, z);
        return line >= 0
                && line < geometry.lines()
                && depth >= geometry.firstDepth() - axialResolution() / 2
                && depth <= geometry.lastDepth() + axialResolution() / 2
                && hasContact(frame, (int) line);
    }

    private boolean isBehindBone(double restX, double restZ) {
        for (Bone bone : bones) {
            if (restZ > bone.surface(restX)) {
                return true;
            }
        }
        return false;
    }

    // ---------------------------------------------------------------- echoes

    @Override
    public void read(int index, RfFrame into) {
        Objects.checkIndex(index, frames);
        if (!into.geometry().equals(geometry)) {
            throw new IllegalArgumentException(
                    "frame has geometry " + into.geometry() + "; expected " + geometry);
        }
        if (sampleType == SampleType.FLOAT32 && into.sampleType() != SampleType.FLOAT32) {
            throw new IllegalArgumentException(
                    "frame stores "
                            + into.sampleType()
                            + " samples, which cannot hold those of this phantom; it must store"
                            + " FLOAT32");
        }
        workers.run(scatterers.strips(), (strip, worker) -> placeStrip(index, strip, worker));
        int blocks = (geometry.lines() + LINES_PER_BLOCK - 1) / LINES_PER_BLOCK;
        workers.run(blocks, (block, worker) -> renderBlock(index, block, worker, into));
        double rate = Double.isNaN(geometry.frameRate()) ? 0 : geometry.frameRate();
        into.stamp(index, rate > 0 ? Math.round(index * 1e9 / rate) : 0);
    }

    @Override
    public void close() {
        // Nothing is held open; the workers are the caller's.
    }

    private void placeStrip(int frame, int strip, int worker) {
        Worker own = perWorker[worker];
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        double firstDepth = geometry.firstDepth();
        double spacing = geometry.sampleSpacing();
        for (int s = scatterers.stripStart[strip]; s < scatterers.stripStart[strip + 1]; s++) {
            float amplitude = scatterers.amplitude(s, slice[frame], own.random);
            strength[s] = 0;
            if (amplitude == 0) {
                continue;
            }
            deformation.displacement(frame, scatterers.x[s], scatterers.z[s], own.u);
            double x = scatterers.x[s] + own.u[0];
            double z = scatterers.z[s] + own.u[1];
            double line = geometry.lineAt(x, z);
            double depth = geometry.depthAt(x, z);
            double deviation = beam.deviation(depth);
            placeLine[s] = line;
            placeSample[s] = (depth - firstDepth) / spacing;
            narrowness[s] = 1 / (2 * deviation * deviation);
            strength[s] =
                    (float)
                            (amplitude
                                    * scattererStrength
                                    * Beam.height(deviation)
                                    * beam.attenuated(depth));
            low = Math.min(low, line);
            high = Math.max(high, line);
        }
        stripFirstLine[strip] = low;
        stripLastLine[strip] = high;
    }

    private void renderBlock(int frame, int block, int worker, RfFrame into) {
        Worker own = perWorker[worker];
        int firstLine = block * LINES_PER_BLOCK;
        int endLine = Math.min(geometry.lines(), firstLine + LINES_PER_BLOCK);
        Arrays.fill(own.echo, 0f);
        double low = firstLine - beamLines;
        double high = endLine - 1 + beamLines;
        for (int strip = 0; strip < stripFirstLine.length; strip++) {
            if (stripLastLine[strip] >= low && stripFirstLine[strip] <= high) {
                addStrip(strip, firstLine, endLine, own);
            }
        }
        for (int line = firstLine; line < endLine; line++) {
            finishLine(frame, line, own, (line - firstLine) * own.stride + own.margin, into);
        }
    }

    private void addStrip(int strip, int firstLine, int endLine, Worker own) {
        int taps = pulse.taps();
        int half = pulse.half();
        int samples = geometry.samples();
        float[] echo = own.echo;
        float[] shape = own.shape;
        for (int s = scatterers.stripStart[strip]; s < scatterers.stripStart[strip + 1]; s++) {
            double position = placeSample[s];
            if (strength[s] == 0 || !(position > -half && position < samples + half)) {
                continue;
            }
            double line = placeLine[s];
            double pitch = geometry.lineSpacing(geometry.depthOfSample(position));
            double sharp = narrowness[s];
            double reach = Beam.reach(Math.sqrt(0.5 / sharp)) / pitch;
            int from = Math.max(firstLine, (int) Math.ceil(line - reach));
            int to = Math.min(endLine - 1, (int) Math.floor(line + reach));
            if (from > to) {
                continue;
            }
            int base = (int) Math.floor(position);
            pulse.sample(position - base, shape);
            int start = own.margin + base - half;
            for (int l = from; l <= to; l++) {
                double off = (l - line) * pitch;
                float weight = strength[s] * (float) Math.exp(-off * off * sharp);
                int at = (l - firstLine) * own.stride + start;
                for (int j = 0; j < taps; j++) {
                    echo[at + j] += weight * shape[j];
                }
            }
        }
    }

    private void finishLine(int frame, int line, Worker own, int at, RfFrame into) {
        int samples = geometry.samples();
        float[] out = own.line;
        if (hasContact(frame, line)) {
            for (int i = 0; i < samples; i++) {
                out[i] = own.echo[at + i] * gain[i];
            }
        } else {
            ringDown(out);
        }
        if (noiseLevel > 0) {
            own.random.restart(RandomStream.key(seed, NOISE + ((long) frame << 16), line));
            float level = (float) noiseLevel;
            for (int i = 0; i < samples; i++) {
                out[i] += level * (float) own.random.gaussian();
            }
        }
        if (sampleType == SampleType.FLOAT32) {
            into.writeLine(line, out, 0);
            return;
        }
        short[] rounded = own.rounded;
        for (int i = 0; i < samples; i++) {
            rounded[i] = (short) Math.max(-32768, Math.min(32767, Math.round(out[i])));
        }
        into.writeLine(line, rounded, 0);
    }

    /** What the probe hears of itself. */
    private void ringDown(float[] out) {
        double perMetre = 4 * Math.PI / geometry.wavelength();
        for (int i = 0; i < out.length; i++) {
            double z = geometry.depthOfSample(i);
            out[i] =
                    (float)
                            (RING_DOWN_LEVEL
                                    * echoLevel
                                    * Math.exp(-z / RING_DOWN_DEPTH)
                                    * Math.cos(perMetre * z));
        }
    }

    // ---------------------------------------------------------------- making

    /** Tissue wherever a frame may see it at some time, and the bones in it. */
    private Scatterers makeScatterers() {
        double[] xRange = new double[2];
        double[] zRange = new double[2];
        findSeen(xRange, zRange);
        double[] most = largestDisplacement(xRange, zRange);
        for (int k = 0; k < 2; k++) {
            double sign = 2 * k - 1;
            xRange[k] += sign * most[0];
            zRange[k] += sign * most[1];
        }
        double stripWidth = Math.max(geometry.lineSpacing(0), 0.1e-3);
        Scatterers all = Scatterers.tissue(seed, density, xRange, zRange, stripWidth);
        for (int i = 0; i < bones.size(); i++) {
            BoneSurface surface = new BoneSurface(bones.get(i), seed, i);
            double spacing = geometry.wavelength() / 10;
            double deviation = beam.deviation(bones.get(i).depth());
            // What a flat surface would add up to, made as high as the brightness says.
            double sum = Beam.height(deviation) * deviation * Math.sqrt(2 * Math.PI) / spacing;
            double tissue = echoLevel / scattererStrength;
            double ratio = Math.pow(10, bones.get(i).brightness() / 20);
            all = all.with(surface, spacing, (float) (ratio * tissue / sum), xRange);
        }
        return all;
    }

    /** The rectangle that holds every place from which a pulse reaches a line. */
    private void findSeen(double[] xRange, double[] zRange) {
        double near = geometry.firstDepth() - pulse.axialReach();
        double far = geometry.lastDepth() + pulse.axialReach();
        if (geometry.layout() instanceof LineLayout.Convex convex) {
            double half = -geometry.angleOfLine(-beam.widestReach(far) / geometry.lineSpacing(far));
            half = Math.min(half, Math.PI);
            double radius = convex.radius();
            xRange[1] = (radius + far) * Math.sin(Math.min(half, Math.PI / 2));
            // Of a fan of more than half a turn, the far ends lie highest.
            zRange[0] = Math.min((radius + near) * Math.cos(half), (radius + far) * Math.cos(half));
            zRange[0] -= radius;
        } else {
            xRange[1] = geometry.x(geometry.lines() - 1, 0) + beam.widestReach(far);
            zRange[0] = near;
        }
        xRange[0] = -xRange[1];
        zRange[1] = far;
    }

    /** Bound of the displacements seen on a coarse net, with room to spare. */
    private double[] largestDisplacement(double[] xRange, double[] zRange) {
        int steps = 16;
        double[] most = new double[2];
        double[] u = new double[2];
        for (int frame = 0; frame < frames; frame++) {
            for (int i = 0; i <= steps; i++) {
                for (int j = 0; j <= steps; j++) {
                    double x = xRange[0] + (xRange[1] - xRange[0]) * i / steps;
                    double z = zRange[0] + (zRange[1] - zRange[0]) * j / steps;
                    deformation.displacement(frame, x, z, u);
                    most[0] = Math.max(most[0], Math.abs(u[0]));
                    most[1] = Math.max(most[1], Math.abs(u[1]));
                }
            }
        }
        most[0] = 1.3 * most[0] + 0.1e-3;
        most[1] = 1.3 * most[1] + 0.1e-3;
        return most;
    }

    /** What one worker needs for itself. */
    private final class Worker {
        final int margin = 2 * pulse.taps();
        final int stride = geometry.samples() + 2 * margin;
        final float[] echo = new float[LINES_PER_BLOCK * stride];
        final float[] shape = new float[pulse.taps()];
        final float[] line = new float[geometry.samples()];
        final short[] rounded = new short[geometry.samples()];
        final double[] u = new double[2];
        final RandomStream random = new RandomStream(0);
    }

    /**
     * Puts a phantom together. Everything has a default: one frame at rest of 128 lines and 2337
     * samples at 40 MHz, 7.5 MHz, 0.3 mm pitch, 1540 m/s, evenly soft tissue, noise 35 dB below the
     * echo at 15 mm. Not thread-safe.
     */
    public static final class Builder {

        private String name = "phantom";
        private ScanGeometry geometry =
                ScanGeometry.linear(128, 2337, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        private SampleType sampleType = SampleType.INT16;
        private long seed = 1;
        private Workers workers = Workers.sequential();
        private double bandwidth = 0.6;
        private double scatterersPerCell = 20;
        private double focusDepth = Double.NaN;
        private double fNumber = 4;
        private double attenuation = 5e-5;
        private double timeGainLimit = 30;
        private double snr = 35;
        private double noiseDepth = 15e-3;
        private double echoLevel = 5000;
        private Motion tissue;
        private double[] press;
        private double[] slice;
        private final List<Inclusion> inclusions = new ArrayList<>();
        private final List<Motion> motions = new ArrayList<>();
        private final List<double[]> loads = new ArrayList<>();
        private final List<Bone> bones = new ArrayList<>();
        private final List<LostContact> lostContacts = new ArrayList<>();
        private int frames;
        private String framesFrom;

        private Builder() {}

        /**
         * What the phantom is called.
         *
         * @param newName shown as the source's name
         * @return this builder
         */
        public Builder name(String newName) {
            name = Objects.requireNonNull(newName, "name is missing");
            return this;
        }

        /**
         * Geometry of the frames.
         *
         * @param newGeometry a linear or convex array
         * @return this builder
         */
        public Builder geometry(ScanGeometry newGeometry) {
            geometry = newGeometry;
            return this;
        }

        /**
         * How samples are stored.
         *
         * @param type INT16 rounds and clips, FLOAT32 does neither
         * @return this builder
         */
        public Builder sampleType(SampleType type) {
            sampleType = Objects.requireNonNull(type, "sample type is missing");
            return this;
        }

        /**
         * What chooses scatterers and noise.
         *
         * @param newSeed any number
         * @return this builder
         */
        public Builder seed(long newSeed) {
            seed = newSeed;
            return this;
        }

        /**
         * Threads that frames are made with; not closed by the phantom.
         *
         * @param newWorkers the workers
         * @return this builder
         */
        public Builder workers(Workers newWorkers) {
            workers = Objects.requireNonNull(newWorkers, "workers are missing");
            return this;
        }

        /**
         * Bandwidth of the pulse.
         *
         * @param fraction full width at -6 dB over the centre frequency, 0.1 to 0.9
         * @return this builder
         */
        public Builder bandwidth(double fraction) {
            bandwidth = Check.range("fractional bandwidth", fraction, 0.1, 0.9, "");
            return this;
        }

        /**
         * Density of the scatterers. More than 10 give fully developed speckle.
         *
         * @param number mean number in a resolution cell at the focus, 0.01 to 100
         * @return this builder
         */
        public Builder scatterersPerCell(double number) {
            scatterersPerCell = Check.range("scatterers per cell", number, 0.01, 100, "");
            return this;
        }

        /**
         * The beam.
         *
         * @param newFocusDepth depth where it is narrowest (m), 1 mm to 0.5 m, or NaN for the
         *     middle of the frame
         * @param newFNumber focus depth over aperture, 0.5 to 20
         * @return this builder
         */
        public Builder beam(double newFocusDepth, double newFNumber) {
            if (!Double.isNaN(newFocusDepth)) {
                Check.range("focus depth", newFocusDepth, 1e-3, 0.5, "m");
            }
            focusDepth = newFocusDepth;
            fNumber = Check.range("F-number", newFNumber, 0.5, 20, "");
            return this;
        }

        /**
         * Attenuation and what is done about it.
         *
         * @param coefficient attenuation one way, 0 to 5e-4 dB/(m Hz); 5e-5 are 0.5 dB/(cm MHz)
         * @param limit most that time-gain compensation gives back (dB), 0 to 200
         * @return this builder
         */
        public Builder attenuation(double coefficient, double limit) {
            attenuation = Check.range("attenuation", coefficient, 0, 5e-4, "dB/(m Hz)");
            timeGainLimit = Check.range("limit of the time gain", limit, 0, 200, "dB");
            return this;
        }

        /**
         * The noise.
         *
         * @param newSnr echo over noise at a depth, root mean squares (dB), -40 to 120; infinite
         *     for no noise
         * @param depth that depth (m), 0 to 1
         * @return this builder
         */
        public Builder noise(double newSnr, double depth) {
            if (newSnr != Double.POSITIVE_INFINITY) {
                Check.range("signal-to-noise ratio", newSnr, -40, 120, "dB");
            }
            snr = newSnr;
            noiseDepth = Check.range("depth of the signal-to-noise ratio", depth, 0, 1, "m");
            return this;
        }

        /**
         * Level of the echoes.
         *
         * @param rootMeanSquare of the samples where attenuation is made good, 1 to 30000
         * @return this builder
         */
        public Builder echoLevel(double rootMeanSquare) {
            echoLevel = Check.range("echo level", rootMeanSquare, 1, 30000, "");
            return this;
        }

        /**
         * Number of frames, for a phantom that does not move; otherwise the loads say it.
         *
         * @param count 1 to 100000
         * @return this builder
         */
        public Builder frames(int count) {
            Check.range("number of frames", count, 1, 100_000);
            return countFrames("number of frames", count);
        }

        /**
         * How tissue without inclusions answers a press.
         *
         * @param motion such as {@link UniformPress} or {@link org.elasto.phantoms.motion.Layers};
         *     by default {@link UniformPress#planeStrain}, or {@link UniformPress#uniaxial} if
         *     there are spheres
         * @return this builder
         */
        public Builder tissue(Motion motion) {
            tissue = Objects.requireNonNull(motion, "motion is missing");
            return this;
        }

        /**
         * How far the tissue is pressed.
         *
         * @param strains strain in each frame, positive when pressed, -0.2 to 0.2
         * @return this builder
         */
        public Builder press(double... strains) {
            for (int i = 0; i < strains.length; i++) {
                Check.range("strain of frame " + i, strains[i], -0.2, 0.2, "");
            }
            countFrames("press", strains.length);
            press = strains.clone();
            return this;
        }

        /**
         * Adds an inclusion. Several do not act upon each other: as a motion that is exact, as
         * elasticity an approximation, good as long as they are a few radii apart.
         *
         * @param inclusion a cylinder or sphere; not both in one phantom
         * @return this builder
         */
        public Builder inclusion(Inclusion inclusion) {
            inclusions.add(Objects.requireNonNull(inclusion, "inclusion is missing"));
            return this;
        }

        /**
         * Sideways drift.
         *
         * @param lateral lateral displacement in each frame (m)
         * @return this builder
         */
        public Builder drift(double... lateral) {
            return motion("drift", Shift.sideways(), lateral);
        }

        /**
         * Adds any motion.
         *
         * @param what its name in messages
         * @param motion the motion
         * @param loadOfFrame its load in each frame
         * @return this builder
         */
        public Builder motion(String what, Motion motion, double... loadOfFrame) {
            Objects.requireNonNull(motion, "motion is missing");
            for (int i = 0; i < loadOfFrame.length; i++) {
                if (!Double.isFinite(loadOfFrame[i])) {
                    throw new IllegalArgumentException(
                            "load of "
                                    + what
                                    + " in frame "
                                    + i
                                    + " is "
                                    + loadOfFrame[i]
                                    + "; it must be finite");
                }
            }
            countFrames(what, loadOfFrame.length);
            motions.add(motion);
            loads.add(loadOfFrame.clone());
            return this;
        }

        /**
         * Motion across the image plane, which swaps scatterers: the correlation of two frames is 1
         * less the distance of their positions, or 0 beyond that. (A slice of even thickness.)
         *
         * @param positions position in each frame, in thicknesses of the slice
         * @return this builder
         */
        public Builder sliceDrift(double... positions) {
            for (int i = 0; i < positions.length; i++) {
                Check.range("slice position of frame " + i, positions[i], -1e6, 1e6, "");
            }
            countFrames("slice drift", positions.length);
            slice = positions.clone();
            return this;
        }

        /**
         * Adds a bone.
         *
         * @param bone the bone
         * @return this builder
         */
        public Builder bone(Bone bone) {
            bones.add(Objects.requireNonNull(bone, "bone is missing"));
            return this;
        }

        /**
         * Adds frames without contact.
         *
         * @param event which frames and lines
         * @return this builder
         */
        public Builder lostContact(LostContact event) {
            lostContacts.add(Objects.requireNonNull(event, "event is missing"));
            return this;
        }

        /**
         * Makes the phantom.
         *
         * @return the phantom
         * @throws IllegalArgumentException if the parts do not fit each other
         */
        public Phantom build() {
            if (!bones.isEmpty() && !(geometry.layout() instanceof LineLayout.Linear)) {
                throw new IllegalArgumentException(
                        "line layout is "
                                + geometry.layout()
                                + "; the shadow of a bone is made for linear arrays only");
            }
            return new Phantom(this);
        }

        private Builder countFrames(String what, int count) {
            if (count == 0) {
                throw new IllegalArgumentException(
                        what + " has no frames; it must have at least 1");
            }
            if (framesFrom != null && count != frames) {
                throw new IllegalArgumentException(
                        what
                                + " gives "
                                + count
                                + " frames, but "
                                + framesFrom
                                + " gave "
                                + frames
                                + "; all must agree");
            }
            frames = Check.range("number of frames", count, 1, 100_000);
            framesFrom = what;
            return this;
        }

        private int frameCount() {
            return framesFrom == null ? 1 : frames;
        }

        private Pulse pulse() {
            Pulse made = new Pulse(geometry, bandwidth);
            double half = geometry.samplingFrequency() / 2;
            if (made.spectrumLevel(half) > -40) {
                throw new IllegalArgumentException(
                        String.format(
                                Locale.ROOT,
                                "sampling frequency of %.4g Hz is too low for a pulse at %.4g Hz"
                                        + " with a fractional bandwidth of %.3g: at half of it the"
                                        + " pulse is only %.1f dB down; it must be 40 dB",
                                geometry.samplingFrequency(),
                                geometry.centreFrequency(),
                                bandwidth,
                                -made.spectrumLevel(half)));
            }
            return made;
        }

        private Deformation deformation(double[] pressLoads) {
            List<Motion> all = new ArrayList<>();
            List<double[]> allLoads = new ArrayList<>();
            all.add(surroundings());
            allLoads.add(pressLoads);
            for (Inclusion inclusion : inclusions) {
                all.add(inclusion.disturbance());
                allLoads.add(pressLoads);
            }
            all.addAll(motions);
            allLoads.addAll(loads);
            return new Deformation(all, allLoads);
        }

        private Motion surroundings() {
            if (inclusions.isEmpty()) {
                return tissue == null ? UniformPress.planeStrain() : tissue;
            }
            Inclusion.Shape shape = inclusions.get(0).shape();
            for (Inclusion inclusion : inclusions) {
                if (inclusion.shape() != shape) {
                    throw new IllegalArgumentException(
                            "there are cylinders and spheres among the inclusions; a press of"
                                + " cylinders is plane strain and one of spheres is not, so that a"
                                + " phantom has either");
                }
            }
            double share = shape == Inclusion.Shape.SPHERE ? 0.5 : 1;
            if (tissue == null) {
                return new UniformPress(share, 0);
            }
            if (!(tissue instanceof UniformPress even) || even.lateralShare() != share) {
                throw new IllegalArgumentException(
                        "tissue is "
                                + tissue
                                + "; around a "
                                + shape.name().toLowerCase(Locale.ROOT)
                                + " it must be an even press with a lateral share of "
                                + share);
            }
            return tissue;
        }
    }
}
