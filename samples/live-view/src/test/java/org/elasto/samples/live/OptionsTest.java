package org.elasto.samples.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class OptionsTest {

    @Test
    void everyOptionIsRead() {
        Options options =
                Options.parse(
                        "uniform",
                        "--estimator=coarse-to-fine-phase",
                        "--phantom=lines=64,samples=1200",
                        "--size=1000x700",
                        "--seconds=5");
        assertEquals("uniform", options.source());
        assertEquals("coarse-to-fine-phase", options.choice().tracker());
        assertEquals("lines=64,samples=1200", options.sourceParameters());
        assertEquals(1000, options.width());
        assertEquals(700, options.height());
        assertEquals(5, options.seconds());
        assertEquals(Options.DEFAULTS, Options.parse());
    }

    @Test
    void whatIsNotUnderstoodIsRefused() {
        for (String wrong : new String[] {"--speed=3", "--seconds=soon", "--size=wide"}) {
            String message =
                    assertThrows(IllegalArgumentException.class, () -> Options.parse(wrong))
                            .getMessage();
            assertTrue(message.contains(wrong.substring(2, 6)), message);
        }
    }
}
