/** RF recordings as frame sources, and the results file. */
@SuppressWarnings("requires-automatic") // jHDF and the MAT File Library bring no module descriptors
module org.elasto.recordings {
    requires transitive org.elasto.api;
    requires io.jhdf;
    requires us.hebi.matlab.mat.mfl.core;
    // What those two use and cannot ask for themselves.
    requires com.ning.compress.lzf;
    requires jdk.unsupported;
    requires org.apache.commons.lang3;
    requires org.slf4j;

    exports org.elasto.recordings;
    exports org.elasto.recordings.array;
    exports org.elasto.recordings.npy;
    exports org.elasto.recordings.source;

    provides org.elasto.api.plugin.FrameSourceProvider with
            org.elasto.recordings.source.Hdf5FileProvider,
            org.elasto.recordings.source.MatFileProvider,
            org.elasto.recordings.source.MetaImageFileProvider,
            org.elasto.recordings.source.NpyFileProvider,
            org.elasto.recordings.source.RawFileProvider;
}
