/**
 * Strain as a random walk along depth, by Kalman filter and backward smoothing.
 *
 * <p>Exported: {@link org.elasto.strain.kalman.KalmanSmootherProvider} and its config.
 */
package org.elasto.strain.kalman;
