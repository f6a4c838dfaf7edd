/** Result files of runs, the table made of one, and the comparison of two. */
package org.elasto.jmh.result;
