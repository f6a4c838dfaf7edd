/** Displacement from the phase of windowed complex correlations, coarse to fine. */
package org.elasto.tracking.phase;
