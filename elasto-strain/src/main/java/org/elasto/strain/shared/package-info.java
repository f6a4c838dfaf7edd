/**
 * What several strain estimators need: the window of rows and lines laid through it, polynomial
 * fits, strain across the lines, and the one rule of what is trusted. Not exported.
 */
package org.elasto.strain.shared;
