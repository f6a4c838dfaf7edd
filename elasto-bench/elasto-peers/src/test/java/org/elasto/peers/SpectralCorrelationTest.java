package org.elasto.peers;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.spectral.SpectralCorrelationProvider;
import org.elasto.phantoms.DisplacementError;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;

class SpectralCorrelationTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(24, 1024, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static DisplacementError error(String parameters) {
        Phantom phantom =
                Phantom.builder().geometry(GEOMETRY).press(0, 0.002).noise(40, 15e-3).build();
        DisplacementEstimator tracker =
                Catalogue.create(
                        new SpectralCorrelationProvider(),
                        parameters,
                        GEOMETRY,
                        Workers.sequential());
        RfFrame first = phantom.newFrame();
        RfFrame second = phantom.newFrame();
        phantom.read(0, first);
        phantom.read(1, second);
        DisplacementField field = tracker.newField();
        tracker.estimate(first, second, field);
        return DisplacementError.of(field, phantom.truth(0, 1, field.layout().grid()));
    }

    /**
     * Held to the phantom's known motion of up to 40 um: on RF to a tenth of a sample (19 um), on
     * the envelope, which is blurred over a wavelength, to a sample.
     */
    @Test
    void followsTissue() {
        double rf = error("input=rf").rootMeanSquare();
        double envelope = error("input=log-envelope").rootMeanSquare();
        assertTrue(rf < 2e-6, "rf: " + rf);
        assertTrue(envelope < 20e-6, "envelope: " + envelope);
        assertEquals(1, error("input=rf").knownShare());
    }

    @Test
    void everySettingCanBeMade() {
        SpectralCorrelationProvider provider = new SpectralCorrelationProvider();
        int made = 0;
        for (String setting : provider.settings()) {
            Catalogue.create(provider, setting, GEOMETRY, Workers.sequential());
            made++;
        }
        assertEquals(3, made);
    }
}
