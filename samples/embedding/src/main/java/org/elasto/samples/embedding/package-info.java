/**
 * A stand-in for scanner software, and what it takes to add strain imaging to it.
 *
 * <p>{@code AcquisitionCard}, {@code Screen} and {@code Meter} are the scanner's own and know
 * nothing of strain; {@code StrainImaging} is what is added, and {@code ScannerSoftware} puts all
 * together.
 */
package org.elasto.samples.embedding;
