/** Displacement by a search that grows from reliable seeds, best match first. */
package org.elasto.tracking.seedgrowth;
