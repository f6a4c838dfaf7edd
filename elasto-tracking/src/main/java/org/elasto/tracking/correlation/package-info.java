/** Displacement from the peak of windowed normalised cross-correlations along the line. */
package org.elasto.tracking.correlation;
