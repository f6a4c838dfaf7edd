/** Axial and lateral displacement by regularised optical flow on the complex echo. */
package org.elasto.tracking.opticalflow;
