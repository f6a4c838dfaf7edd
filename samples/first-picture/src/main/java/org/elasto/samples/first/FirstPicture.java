package org.elasto.samples.first;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Phantoms;

/** Tracks two frames of a phantom and prints how much its middle line was squeezed. */
public final class FirstPicture {

    private FirstPicture() {}

    /**
     * Runs the sample.
     *
     * @param arguments none
     */
    public static void main(String[] arguments) {
        Phantom phantom = Phantoms.of("two-stiff-inclusions");
        RfFrame first = phantom.newFrame();
        RfFrame second = phantom.newFrame();
        phantom.read(1, first);
        phantom.read(2, second);
        System.out.print(strain(first, second));
    }

    static String strain(RfFrame first, RfFrame second) {
        // What stands in the README begins here.
        try (Workers workers = Workers.threads(2)) {
            DisplacementEstimator tracker =
                    Catalogue.create(
                            Catalogue.displacementEstimators().preferred(),
                            "",
                            first.geometry(),
                            workers);
            StrainEstimator differentiator =
                    Catalogue.create(
                            Catalogue.strainEstimators().get("least-squares-line"),
                            "window-depth=2.4e-3",
                            tracker.layout(),
                            workers);
            DisplacementField field = tracker.newField();
            StrainImage strain = differentiator.newImage();

            tracker.estimate(first, second, field); // again and again, without garbage
            differentiator.estimate(field, strain);

            StringBuilder text = new StringBuilder();
            int rows = strain.rows();
            int line = strain.lines() / 2;
            for (int row = 0; row < rows; row += rows / 20) {
                int at = line * rows + row;
                text.append(
                        String.format(
                                "%5.1f mm  %+.3f %% +- %.3f %%  %s%n",
                                strain.layout().grid().depth(row) * 1e3,
                                strain.axial()[at] * 100,
                                strain.axialDeviation()[at] * 100,
                                strain.trusted()[at] ? "trusted" : "not trusted"));
            }
            return text.toString();
        }
        // What stands in the README ends here.
    }
}
