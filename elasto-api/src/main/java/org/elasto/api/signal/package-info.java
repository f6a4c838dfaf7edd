/**
 * Signal preparation that echo pictures and displacement estimators share: from a line of RF to
 * complex baseband.
 */
package org.elasto.api.signal;
