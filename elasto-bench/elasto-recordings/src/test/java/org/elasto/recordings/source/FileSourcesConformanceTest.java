package org.elasto.recordings.source;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.conformance.FrameSourceConformance;
import org.elasto.recordings.TestFiles;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.io.TempDir;

/** Every provider of this module passes the kit that outsiders' frame sources pass. */
class FileSourcesConformanceTest {

    private static final String SCAN =
            "sampling-frequency=4e7,centre-frequency=7.5e6,sound-speed=1500,first-depth=1e-3,"
                    + "line-pitch=3e-4,frame-rate=50";

    @TempDir static Path folder;

    /** A small file and the provider that reads it. */
    private abstract static class Kit extends FrameSourceConformance {
        private final FrameSourceProvider<?> provider;
        private final String file;
        private final String parameters;

        Kit(FrameSourceProvider<?> provider, String file, String parameters) {
            this.provider = provider;
            this.file = file;
            this.parameters = parameters;
        }

        @Override
        protected FrameSourceProvider<?> provider() {
            return provider;
        }

        @Override
        protected String location() throws IOException {
            return TestFiles.small(file).toString();
        }

        @Override
        protected String parameters() {
            return parameters;
        }
    }

    @Nested
    class Hdf5 extends Kit {
        Hdf5() {
            super(new Hdf5FileProvider(), "gzip-shuffle.h5", "");
        }
    }

    @Nested
    class Mat extends Kit {
        Mat() {
            super(new MatFileProvider(), "compressed.mat", "");
        }
    }

    @Nested
    class Npy extends Kit {
        Npy() {
            super(new NpyFileProvider(), "plain.npy", SCAN);
        }
    }

    @Nested
    class NpyFloats extends Kit {
        NpyFloats() {
            super(new NpyFileProvider(), "big-endian-float.npy", SCAN);
        }
    }

    @Nested
    class MetaImage extends Kit {
        MetaImage() {
            super(new MetaImageFileProvider(), "plain.mha", "");
        }
    }

    @Nested
    class CompressedMetaImage extends Kit {
        CompressedMetaImage() {
            super(new MetaImageFileProvider(), "compressed.mha", "");
        }
    }

    @Nested
    class Raw extends Kit {
        Raw() {
            super(new RawFileProvider(), "", SCAN + ",lines=2,samples=10");
        }

        @Override
        protected String location() throws IOException {
            ByteBuffer bytes = ByteBuffer.allocate(3 * 2 * 10 * 2).order(ByteOrder.LITTLE_ENDIAN);
            for (int i = 0; i < bytes.capacity() / 2; i++) {
                bytes.putShort(TestFiles.sample(i, 1, 2));
            }
            return Files.write(folder.resolve("rf.raw"), bytes.array()).toString();
        }
    }
}
