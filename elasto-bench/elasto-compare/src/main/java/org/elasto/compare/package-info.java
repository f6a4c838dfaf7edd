/**
 * The workbench's command line: strain pictures of recordings and phantoms, measured against truth.
 */
package org.elasto.compare;
