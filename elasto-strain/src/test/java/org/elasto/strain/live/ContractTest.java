package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.function.Executable;

/** What is forbidden is found wherever it stands, and nothing else is. */
class ContractTest {

    private static final RowGrid GRID = new RowGrid(83, 1e-3, 0.3e-3);
    private static final FieldLayout FIELD =
            new FieldLayout(Fields.linear(29), GRID, false, ErrorCorrelation.INDEPENDENT);
    private static final StrainLayout STRAIN =
            new StrainLayout(FIELD.geometry(), GRID, false, 2e-3);
    private static final float[] ODD = {
        0,
        -0f,
        1,
        Math.nextUp(1f),
        -Float.MIN_VALUE,
        -1e-3f,
        Float.NaN,
        Float.POSITIVE_INFINITY,
        Float.NEGATIVE_INFINITY,
        Float.MAX_VALUE
    };

    private final Contract contract = new Contract();

    private static float odd(Random random) {
        return ODD[random.nextInt(ODD.length)];
    }

    private static void expect(int fault, Executable check) {
        if (fault < 0) {
            assertDoesNotThrow(check);
        } else {
            String message = assertThrows(IllegalStateException.class, check).getMessage();
            assertTrue(message.contains(" at place " + fault + ";"), message);
        }
    }

    @Property(tries = 300, seed = "91")
    void fields(@ForAll long seed) {
        Random random = new Random(seed);
        DisplacementField field = new DisplacementField(FIELD);
        float[] u = field.axial();
        float[] s = field.axialDeviation();
        float[] c = field.correlation();
        for (int i = 0; i < u.length; i++) {
            boolean known = random.nextInt(100) > 0;
            u[i] = known ? random.nextFloat() - 0.5f : Float.NaN;
            s[i] = known ? random.nextFloat() : Float.NaN;
            c[i] = known ? random.nextFloat() : 0;
        }
        for (int k = random.nextInt(3); k > 0; k--) {
            float[] plane = random.nextInt(3) == 0 ? u : random.nextBoolean() ? s : c;
            plane[random.nextInt(u.length)] = odd(random);
        }
        int fault = -1;
        for (int i = u.length - 1; i >= 0; i--) {
            boolean unknown = c[i] == 0;
            boolean known = c[i] > 0 && c[i] <= 1 && Float.isFinite(u[i]) && s[i] >= 0;
            fault = unknown || known ? fault : i;
        }
        expect(fault, () -> contract.check(field));
    }

    @Property(tries = 300, seed = "92")
    void images(@ForAll long seed) {
        Random random = new Random(seed);
        StrainImage image = new StrainImage(STRAIN);
        float[] e = image.axial();
        float[] s = image.axialDeviation();
        boolean[] trusted = image.trusted();
        for (int i = 0; i < e.length; i++) {
            trusted[i] = random.nextInt(100) > 0;
            e[i] = trusted[i] ? random.nextFloat() - 0.5f : odd(random);
            s[i] = trusted[i] ? random.nextFloat() : odd(random);
        }
        for (int k = random.nextInt(3); k > 0; k--) {
            (random.nextBoolean() ? e : s)[random.nextInt(e.length)] = odd(random);
        }
        int fault = -1;
        for (int i = e.length - 1; i >= 0; i--) {
            boolean sound = Float.isFinite(e[i]) && Float.isFinite(s[i]) && s[i] >= 0;
            fault = !trusted[i] || sound ? fault : i;
        }
        expect(fault, () -> contract.check(image));
    }
}
