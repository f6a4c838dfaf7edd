/**
 * Displacement from a search on a sparse lattice of cells, refined by the phase of dense
 * correlations: the fast estimators.
 */
package org.elasto.tracking.lattice;
