package org.elasto.samples.first;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Phantoms;
import org.junit.jupiter.api.Test;

class FirstPictureTest {

    @Test
    void printsTrustedStrainOfThePress() {
        Phantom phantom = Phantoms.of("two-stiff-inclusions");
        String text = FirstPicture.strain(phantom.read(1), phantom.read(2));
        long trusted = text.lines().filter(l -> l.endsWith(" trusted")).count();
        assertTrue(trusted > 15, text);
        assertTrue(text.lines().filter(l -> l.contains(" -0.")).count() > 10, text);
    }
}
