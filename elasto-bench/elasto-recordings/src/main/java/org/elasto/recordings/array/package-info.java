/**
 * Numeric arrays as recordings hold them: element types, shapes, and reading one frame's worth at a
 * time. What MAT-files, HDF5 files and raw files have in common lies here.
 */
package org.elasto.recordings.array;
