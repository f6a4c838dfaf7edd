/** From two RF frames to strain in a few lines. */
package org.elasto.samples.first;
