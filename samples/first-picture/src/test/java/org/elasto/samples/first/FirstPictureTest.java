package org.elasto.samples.first;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.RfFrame;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Phantoms;
import org.junit.jupiter.api.Test;

class FirstPictureTest {

    @Test
    void printsTrustedStrainOfThePress() {
        Phantom phantom = Phantoms.of("two-stiff-inclusions");
        RfFrame first = phantom.newFrame();
        RfFrame second = phantom.newFrame();
        phantom.read(1, first);
        phantom.read(2, second);
        String text = FirstPicture.strain(first, second);
        long trusted = text.lines().filter(l -> l.endsWith(" trusted")).count();
        assertTrue(trusted > 15, text);
        assertTrue(text.lines().filter(l -> l.contains(" -0.")).count() > 10, text);
    }
}
