/**
 * Displacement by dynamic programming over the depth, refined by a regularised Gauss-Newton step.
 */
package org.elasto.tracking.dynamicprogramming;
