package org.elasto.strain.shared;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;

/** Made-up displacement fields for the tests. */
public final class Fields {

    public static final double PITCH = 0.3e-3;
    public static final double FIRST_DEPTH = 2e-3;

    private Fields() {}

    public static ScanGeometry linear(int lines) {
        return ScanGeometry.linear(lines, 2400, 40e6, 7.5e6, 1540, 0, PITCH, 50);
    }

    public static ScanGeometry convex(int lines) {
        return ScanGeometry.convex(lines, 2400, 40e6, 3.5e6, 1540, 0, 60e-3, 0.008, 30);
    }

    public static FieldLayout layout(int lines, int rows, double spacing, ErrorCorrelation errors) {
        return new FieldLayout(
                linear(lines), new RowGrid(rows, FIRST_DEPTH, spacing), false, errors);
    }

    /** All places known: displacement 0, deviation 1 µm, correlation 1. */
    public static DisplacementField known(FieldLayout layout) {
        DisplacementField field = new DisplacementField(layout);
        Arrays.fill(field.axial(), 0f);
        Arrays.fill(field.axialDeviation(), 1e-6f);
        Arrays.fill(field.correlation(), 1f);
        if (layout.lateral()) {
            Arrays.fill(field.lateral(), 0f);
            Arrays.fill(field.lateralDeviation(), 1e-6f);
        }
        return field;
    }

    /** Random values everywhere, with a share of unknown places of every kind. */
    public static DisplacementField random(FieldLayout layout, double unknownShare, long seed) {
        Random random = new Random(seed);
        DisplacementField field = new DisplacementField(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            field.axial()[i] = (float) (1e-4 * random.nextGaussian());
            field.axialDeviation()[i] = (float) (1e-8 * Math.pow(1000, random.nextDouble()));
            field.correlation()[i] = (float) (0.3 + 0.7 * random.nextDouble());
            if (layout.lateral()) {
                field.lateral()[i] = (float) (1e-4 * random.nextGaussian());
                field.lateralDeviation()[i] = (float) (1e-7 * Math.pow(100, random.nextDouble()));
            }
            if (random.nextDouble() < unknownShare) {
                switch (random.nextInt(5)) {
                    case 0 -> field.axial()[i] = Float.NaN;
                    case 1 -> field.axialDeviation()[i] = Float.NaN;
                    case 2 -> field.correlation()[i] = 0f;
                    case 3 -> field.axialDeviation()[i] = 2e-4f;
                    default -> field.axial()[i] = Float.NEGATIVE_INFINITY;
                }
            }
        }
        return field;
    }

    /** An estimator of some config with one worker. */
    public static <C extends Record> StrainEstimator create(
            StrainEstimatorProvider<C> provider, C config, FieldLayout layout) {
        return provider.create(config, layout, Workers.sequential());
    }

    /** What an estimator of some config makes of a field, by one worker. */
    public static <C extends Record> StrainImage estimate(
            StrainEstimatorProvider<C> provider, C config, DisplacementField field) {
        StrainEstimator estimator = create(provider, config, field.layout());
        StrainImage out = estimator.newImage();
        estimator.estimate(field, out);
        return out;
    }
}
