/**
 * The four plugin contracts (frame sources, displacement estimators, strain estimators, quality
 * metrics), their providers, and the catalogue that finds, lists and makes them by name.
 *
 * <p>A <em>provider</em> is a stateless, thread-safe service found by {@link
 * java.util.ServiceLoader}. It has a name, a summary and a config record, and makes
 * <em>plugins</em>. A plugin is made for one geometry, owns all its workspace, is used by one
 * thread at a time and is called again and again; after warm-up a call allocates nothing.
 */
package org.elasto.api.plugin;
