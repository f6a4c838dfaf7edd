package org.elasto.phantoms;

/** A bone's surface with its roughness: smooth random heights about 0.4 mm wide. Immutable. */
final class BoneSurface {

    private static final double KNOT_SPACING = 0.4e-3;
    private static final long HEIGHTS = 0x54;

    private final Bone bone;
    private final long seed;

    BoneSurface(Bone bone, long seed, int number) {
        this.bone = bone;
        this.seed = RandomStream.key(seed, HEIGHTS, number);
    }

    Bone bone() {
        return bone;
    }

    /** Depth of the rough surface at rest (m); infinite beside the bone. */
    double depth(double x) {
        double smooth = bone.surface(x);
        if (bone.roughness() == 0 || Double.isInfinite(smooth)) {
            return smooth;
        }
        double position = x / KNOT_SPACING;
        long knot = (long) Math.floor(position);
        double w = (1 - Math.cos(Math.PI * (position - knot))) / 2;
        double a = new RandomStream(RandomStream.key(seed, knot, 0)).gaussian();
        double b = new RandomStream(RandomStream.key(seed, knot + 1, 0)).gaussian();
        // Keeps the deviation the same between the knots as at them.
        double norm = Math.sqrt((1 - w) * (1 - w) + w * w);
        return smooth + bone.roughness() * ((1 - w) * a + w * b) / norm;
    }
}
