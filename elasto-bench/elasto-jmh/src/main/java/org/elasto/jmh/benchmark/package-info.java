/**
 * The benchmarks. Every one works on phantom frames of a {@link org.elasto.jmh.benchmark.Scan}.
 * What is chosen by name takes any name of the catalogue, as {@code name} or {@code
 * name:parameter=value,...}, so that a new plugin is measured without a change here.
 */
package org.elasto.jmh.benchmark;
