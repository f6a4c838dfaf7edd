package org.elasto.conformance;

import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSourceProvider;

/** The phantoms hold to the contract of frame sources. */
class PhantomConformanceTest extends FrameSourceConformance {

    @Override
    protected FrameSourceProvider<?> provider() {
        return Catalogue.frameSources().get("phantom");
    }

    @Override
    protected String location() {
        return "two-stiff-inclusions";
    }

    @Override
    protected String parameters() {
        return "frames=3, lines=12, samples=400";
    }
}
