package org.elasto.strain.leastsquares;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.strain.shared.Fields;

/** Least-squares lines for the tests. */
final class Lines {

    private Lines() {}

    static StrainImage estimate(LeastSquaresLineConfig config, DisplacementField field) {
        return Fields.estimate(new LeastSquaresLineProvider(), config, field);
    }

    /** A config whose window has so many rows. */
    static LeastSquaresLineConfig window(int rows, double spacing, double usableShare) {
        return new LeastSquaresLineConfig((rows - 1) * spacing, usableShare, 0.6, 1e-3, 2.4e-3, 0);
    }
}
