package org.elasto.recordings.array;

import java.util.LinkedHashMap;
import java.util.Map;
import org.elasto.api.LineLayout;
import org.elasto.api.ScanGeometry;

/** Names under which files give scan parameters, with their units. */
public final class ScanNames {

    /** Sampling frequency (Hz). */
    public static final String SAMPLING_FREQUENCY = "sampling_frequency_hz";

    /** Nominal centre frequency of the pulse (Hz). */
    public static final String CENTRE_FREQUENCY = "centre_frequency_hz";

    /** Speed of sound (m/s). */
    public static final String SOUND_SPEED = "speed_of_sound_m_s";

    /** Depth of the first sample (m). */
    public static final String FIRST_DEPTH = "first_sample_depth_m";

    /** Distance between the lines of a linear array (m). */
    public static final String LINE_PITCH = "line_pitch_m";

    /** Radius of a convex array (m). */
    public static final String PROBE_RADIUS = "probe_radius_m";

    /** Angle between the lines of a convex array (rad). */
    public static final String ANGULAR_PITCH = "angular_pitch_rad";

    /** Frames a second (Hz). */
    public static final String FRAME_RATE = "frame_rate_hz";

    private ScanNames() {}

    /**
     * The scan parameters of a geometry by name.
     *
     * @param geometry the geometry
     * @return the parameters; those that are not known or belong to another kind of probe are left
     *     out
     */
    public static Map<String, Object> parameters(ScanGeometry geometry) {
        Map<String, Object> result = new LinkedHashMap<>();
        result.put(SAMPLING_FREQUENCY, geometry.samplingFrequency());
        result.put(CENTRE_FREQUENCY, geometry.centreFrequency());
        result.put(SOUND_SPEED, geometry.soundSpeed());
        result.put(FIRST_DEPTH, geometry.firstDepth());
        if (geometry.layout() instanceof LineLayout.Linear linear) {
            result.put(LINE_PITCH, linear.pitch());
        } else if (geometry.layout() instanceof LineLayout.Convex convex) {
            result.put(PROBE_RADIUS, convex.radius());
            result.put(ANGULAR_PITCH, convex.angularPitch());
        }
        if (!Double.isNaN(geometry.frameRate())) {
            result.put(FRAME_RATE, geometry.frameRate());
        }
        return result;
    }
}
