package org.elasto.strain.kalman;

/**
 * The model: displacement grows with depth by strain, and strain walks at random, so that its
 * variance grows by {@code q} times depth. From row to row a distance h apart the state (u, e) goes
 * to (u + h e, e), and process noise of covariance {@code q [h³/3, h²/2; h²/2, h]} is added.
 *
 * @param spacing h, distance between rows (m)
 * @param density q, variance that strain gains over a metre (1/m)
 */
record Walk(double spacing, double density) {

    static Walk of(double changePerMillimetre, double spacing) {
        return new Walk(spacing, changePerMillimetre * changePerMillimetre / 1e-3);
    }

    double uu() {
        return density * spacing * spacing * spacing / 3;
    }

    double ue() {
        return density * spacing * spacing / 2;
    }

    double ee() {
        return density * spacing;
    }
}
