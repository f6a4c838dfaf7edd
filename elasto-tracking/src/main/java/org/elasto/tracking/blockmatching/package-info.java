/** Axial and lateral displacement from blocks that match best, in two dimensions. */
package org.elasto.tracking.blockmatching;
