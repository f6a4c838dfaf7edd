package org.elasto.compare;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;

/**
 * What the samples of a recording tell about it: echo and noise by depth, saturation, dead lines.
 *
 * <p>Noise is told from the echo by its spectrum: it is taken as white, at the level of the
 * quietest tenth of the frequencies (common practice, no source). Where the pulse fills all
 * frequencies, or a filter has cut some off, that is not so.
 */
final class RecordingCheck {

    private static final int MOST_FRAMES = 8;
    private static final int ZONES = 9;
    private static final int SEGMENT = 128;
    private static final double QUIET_SHARE = 0.1;
    private static final double SUSPICIOUS = 1e-5;
    private static final double DEAD_SHARE = 0.02;

    private final ScanGeometry geometry;
    private final double[][] spectra = new double[ZONES][SEGMENT / 2 + 1];
    private final long[] segments = new long[ZONES];
    private final double[] zoneSquares = new double[ZONES];
    private final long[] zoneSamples = new long[ZONES];
    private final double[] lineSquares;
    private final float[] cosine = new float[SEGMENT];
    private final float[] window = new float[SEGMENT];
    private double largest;
    private long atLargest;
    private long samples;
    private long missing;
    private int frames;
    private double clippingLevel;

    RecordingCheck(FrameSource source) throws IOException {
        geometry = source.geometry();
        lineSquares = new double[geometry.lines()];
        for (int i = 0; i < SEGMENT; i++) {
            cosine[i] = (float) Math.cos(2 * Math.PI * i / SEGMENT);
            // Hann's window, made so that white noise of variance 1 has a spectrum of 1.
            window[i] = (float) (Math.sqrt(8.0 / 3 / SEGMENT) * (0.5 - 0.5 * cosine[i]));
        }
        int count = Math.min(MOST_FRAMES, source.frameCount());
        float[] line = new float[geometry.samples()];
        for (int k = 0; k < count; k++) {
            Interruption.check();
            int index = count == 1 ? 0 : k * (source.frameCount() - 1) / (count - 1);
            RfFrame frame = source.read(index);
            frames++;
            clippingLevel = frame.clippingLevel();
            for (int l = 0; l < geometry.lines(); l++) {
                frame.readLine(l, line, 0);
                add(l, line);
            }
        }
    }

    private void add(int number, float[] line) {
        for (int i = 0; i < line.length; i++) {
            // The two ends of the range of integers count as one.
            double size = Math.min(Math.abs(line[i]), clippingLevel);
            if (!Double.isFinite(size)) {
                missing++;
                line[i] = 0;
                continue;
            }
            if (size > largest) {
                largest = size;
                atLargest = 0;
            }
            atLargest += size == largest && size > 0 ? 1 : 0;
            samples++;
            lineSquares[number] += size * size;
            int zone = (int) ((long) i * ZONES / line.length);
            zoneSquares[zone] += size * size;
            zoneSamples[zone]++;
        }
        for (int start = 0; start + SEGMENT <= line.length; start += SEGMENT) {
            int zone = (int) ((long) (start + SEGMENT / 2) * ZONES / line.length);
            addSpectrum(line, start, spectra[zone]);
            segments[zone]++;
        }
    }

    private void addSpectrum(float[] line, int start, double[] spectrum) {
        for (int f = 0; f < spectrum.length; f++) {
            float re = 0;
            float im = 0;
            for (int i = 0; i < SEGMENT; i++) {
                float value = window[i] * line[start + i];
                int turn = f * i;
                re += value * cosine[turn & SEGMENT - 1];
                im += value * cosine[turn + 3 * SEGMENT / 4 & SEGMENT - 1];
            }
            spectrum[f] += (double) re * re + (double) im * im;
        }
    }

    /** Root mean square of the noise in a zone, NaN if the lines are too short to tell. */
    double noise(int zone) {
        if (segments[zone] == 0) {
            return Double.NaN;
        }
        double[] sorted = spectra[zone].clone();
        Arrays.sort(sorted);
        int count = (int) Math.ceil(QUIET_SHARE * sorted.length);
        double sum = 0;
        for (int i = 0; i < count; i++) {
            sum += sorted[i];
        }
        return Math.sqrt(sum / count / segments[zone]);
    }

    /** Root mean square of all samples in a zone. */
    double level(int zone) {
        return Math.sqrt(zoneSquares[zone] / zoneSamples[zone]);
    }

    int zones() {
        return ZONES;
    }

    /** Whether samples are at the end of their range, or suspiciously many are the largest. */
    boolean saturated() {
        return largest >= clippingLevel || (atLargest > 10 && atLargest > SUSPICIOUS * samples);
    }

    /** Lines whose level is below a fiftieth of the median line's. */
    List<Integer> deadLines() {
        double[] sorted = lineSquares.clone();
        Arrays.sort(sorted);
        double limit = DEAD_SHARE * DEAD_SHARE * sorted[sorted.length / 2];
        List<Integer> dead = new ArrayList<>();
        for (int l = 0; l < lineSquares.length; l++) {
            if (lineSquares[l] <= limit) {
                dead.add(l);
            }
        }
        return dead;
    }

    String text() {
        StringBuilder text = new StringBuilder();
        text.append("of ").append(frames).append(" frame(s):\n");
        text.append("  depth (mm)       level    noise   echo over noise\n");
        for (int zone = 0; zone < ZONES; zone++) {
            double from = geometry.depthOfSample((double) zone * geometry.samples() / ZONES);
            double to = geometry.depthOfSample((zone + 1.0) * geometry.samples() / ZONES);
            double noise = noise(zone);
            double echo = Math.sqrt(Math.max(0, level(zone) * level(zone) - noise * noise));
            text.append(
                    String.format(
                            Locale.ROOT,
                            "  %5.1f to %5.1f  %8s %8s   %s%n",
                            from * 1e3,
                            to * 1e3,
                            Texts.number("%.4g", level(zone)),
                            Texts.number("%.3g", noise),
                            Texts.number("%.1f dB", 20 * Math.log10(echo / noise))));
        }
        text.append(
                String.format(
                        Locale.ROOT,
                        "largest sample: %.6g, reached by %d of %d samples%s%n",
                        largest,
                        atLargest,
                        samples,
                        saturated() ? ": saturated" : ""));
        if (missing > 0) {
            text.append("NaN or infinite: ").append(missing).append(" samples\n");
        }
        List<Integer> dead = deadLines();
        text.append("dead lines: ")
                .append(dead.isEmpty() ? "none" : dead.toString().replaceAll("[\\[\\]]", ""))
                .append('\n');
        return text.toString();
    }
}
