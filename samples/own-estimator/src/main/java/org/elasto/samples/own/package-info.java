/** A displacement estimator of one's own: provider, config record, estimator. */
package org.elasto.samples.own;
