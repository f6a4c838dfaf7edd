/**
 * Pictures of strain beside the echoes they come from, as packed ARGB integers, and a writer of PNG
 * files. No windowing toolkit is needed.
 *
 * <p>{@link org.elasto.strain.picture.StrainPicture} makes the finished picture; {@link
 * org.elasto.strain.picture.EchoPicture} gives the brightness of the echoes alone. Both keep their
 * memory, so that a live view can draw again and again without allocating. {@link
 * org.elasto.strain.picture.PngWriter} writes a picture to a file together with the cautions of
 * {@link org.elasto.strain.picture.Cautions}, which stand in every picture as well.
 */
package org.elasto.strain.picture;
