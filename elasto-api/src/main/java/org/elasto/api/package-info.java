/**
 * The words of strain imaging as value types: scan geometry, RF frame, displacement field, strain
 * image, and the workers that a caller lends.
 *
 * <p>All quantities are in SI units (metres, seconds, hertz, radians). Planes are {@code float[]}
 * stored line after line: the value of row {@code r} on line {@code l} stands at index {@code l *
 * rows + r}, so that depth is contiguous in memory. Depth and axial displacement are positive away
 * from the probe. What is not known is {@code NaN} or untrusted, never a made-up number.
 */
package org.elasto.api;
