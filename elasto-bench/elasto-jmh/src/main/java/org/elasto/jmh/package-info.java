/** The command line: run the benchmarks, compare two runs, measure the live session's latency. */
package org.elasto.jmh;
