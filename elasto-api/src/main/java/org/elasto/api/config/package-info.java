/**
 * Typed parameters of plugins: records whose components carry unit, range and meaning, and the one
 * place where text becomes such a record.
 */
package org.elasto.api.config;
