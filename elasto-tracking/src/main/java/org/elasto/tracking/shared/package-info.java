/**
 * What several families of displacement estimators need: baseband frames, the coarse search,
 * warping, smooth windows, peaks between samples, and the prediction of errors. Not exported.
 */
package org.elasto.tracking.shared;
