/**
 * Recordings and results as files: recordings are written by {@link
 * org.elasto.recordings.RecordingWriter} and read by the frame sources of {@code
 * org.elasto.recordings.source}; results are written by {@link org.elasto.recordings.ResultsWriter}
 * and read by {@link org.elasto.recordings.ResultsReader}; the true motion of a synthetic recording
 * is read by {@link org.elasto.recordings.TruthFile}.
 */
package org.elasto.recordings;
