package org.elasto.samples.own;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.module.Configuration;
import java.lang.module.ModuleFinder;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.Set;
import org.elasto.api.plugin.Catalogue;
import org.junit.jupiter.api.Test;

class RegistrationTest {

    @Test
    void theClassPathHasItByName() {
        assertEquals(
                PhaseZeroProvider.class,
                Catalogue.displacementEstimators().get("phase-zero").getClass());
        assertEquals(2, new PhaseZeroProvider().schema().parameters().size());
    }

    /** Nobody names the module: that it provides what elasto-api uses is enough to bring it in. */
    @Test
    void theModulePathHasItByItsService() throws URISyntaxException {
        ModuleFinder finder =
                ModuleFinder.of(place(PhaseZeroProvider.class), place(Catalogue.class));
        Configuration resolved =
                ModuleLayer.boot()
                        .configuration()
                        .resolveAndBind(finder, ModuleFinder.of(), Set.of("org.elasto.api"));
        assertTrue(resolved.findModule("org.elasto.samples.own").isPresent(), resolved.toString());
    }

    private static Path place(Class<?> type) throws URISyntaxException {
        return Path.of(type.getProtectionDomain().getCodeSource().getLocation().toURI());
    }
}
