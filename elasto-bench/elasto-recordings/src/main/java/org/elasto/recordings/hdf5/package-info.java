/**
 * HDF5 files in and out, on top of jHDF: part by part, with checksums verified, and with every
 * failure as an IOException that names the file and the place.
 */
package org.elasto.recordings.hdf5;
