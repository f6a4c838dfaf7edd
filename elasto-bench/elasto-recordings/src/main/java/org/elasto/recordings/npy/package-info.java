/** NumPy's format for one array, {@code .npy}: what its header says, and writing planes. */
package org.elasto.recordings.npy;
