/** Quality metrics: judges of a frame pair with its displacement and strain. */
package org.elasto.strain.quality;
