/** Trackers made from OpenCV, to compare with. */
@SuppressWarnings("requires-automatic")
module org.elasto.peers.opencv {
    requires transitive org.elasto.peers;
    requires opencv;

    exports org.elasto.peers.opencv;

    provides org.elasto.api.plugin.DisplacementEstimatorProvider with
            org.elasto.peers.opencv.OpenCvFlowProvider,
            org.elasto.peers.opencv.OpenCvTemplateProvider;
}
