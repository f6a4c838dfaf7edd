package org.elasto.tracking.correlation;

/** How the peak of a sampled correlation is found between its samples. */
public enum Peak {
    /** Parabola through the three greatest samples: quick, and biased. */
    PARABOLA,
    /** Cosine through the three greatest samples: exact for a pure tone. */
    COSINE,
    /**
     * Quintic spline through the samples around the peak: close to exact for a band-limited echo.
     */
    SPLINE
}
