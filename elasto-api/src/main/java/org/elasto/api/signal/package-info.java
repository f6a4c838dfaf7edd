/**
 * Signal preparation that echo pictures and displacement estimators share: from a line of RF to
 * complex baseband, or to the power of its echoes.
 */
package org.elasto.api.signal;
