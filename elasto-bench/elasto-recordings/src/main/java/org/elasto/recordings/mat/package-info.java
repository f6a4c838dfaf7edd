/**
 * MAT-files of level 5, on top of the MAT File Library: variable by variable, so that damage to one
 * leaves the others readable, and with every failure as an IOException that names the file and the
 * place.
 *
 * <p>The format: MAT-File Format, The MathWorks (level 5 MAT-files).
 */
package org.elasto.recordings.mat;
