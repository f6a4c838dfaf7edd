/** Cross-correlation of windows by the Fourier transform of Commons Math. */
package org.elasto.peers.spectral;
