/**
 * Frame sources that read RF recordings: MAT-files, HDF5, NumPy and MetaImage files, and raw
 * samples.
 *
 * <p>Laboratories name and order things in their own ways, so everything can be given as a
 * parameter: the array, the order of its axes, and every scan parameter. What is left open is taken
 * from the file, where it stands as
 *
 * <table>
 * <caption>Scan parameters and their names in files</caption>
 * <tr><th>parameter</th><th>name in the file</th></tr>
 * <tr><td>{@code sampling-frequency}</td><td>{@code sampling_frequency_hz}</td></tr>
 * <tr><td>{@code centre-frequency}</td><td>{@code centre_frequency_hz}</td></tr>
 * <tr><td>{@code sound-speed}</td><td>{@code speed_of_sound_m_s}; 1540 m/s if missing (common
 * practice, no source)</td></tr>
 * <tr><td>{@code first-depth}</td><td>{@code first_sample_depth_m}</td></tr>
 * <tr><td>{@code line-pitch}</td><td>{@code line_pitch_m}, for a linear array</td></tr>
 * <tr><td>{@code probe-radius}</td><td>{@code probe_radius_m}, for a convex array</td></tr>
 * <tr><td>{@code angular-pitch}</td><td>{@code angular_pitch_rad}, for a convex array</td></tr>
 * <tr><td>{@code frame-rate}</td><td>{@code frame_rate_hz}; unknown (NaN) if missing</td></tr>
 * </table>
 *
 * <p>In a MAT-file these are scalar variables; in an HDF5 file attributes of the data set or of the
 * root group, or scalar data sets beside it or in the root group; in a MetaImage file lines of the
 * header. Nothing else is guessed: a missing one is an error that lists what is missing.
 */
package org.elasto.recordings.source;
