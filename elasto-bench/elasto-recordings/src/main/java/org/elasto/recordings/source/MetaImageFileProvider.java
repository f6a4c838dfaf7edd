package org.elasto.recordings.source;

import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.io.PushbackInputStream;
import java.nio.ByteBuffer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Optional;
import java.util.zip.GZIPInputStream;
import java.util.zip.InflaterInputStream;
import java.util.zip.ZipException;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.BufferArray;
import org.elasto.recordings.array.RegionArray;
import org.elasto.recordings.array.StoredArray;
import org.elasto.recordings.metaimage.MetaImageHeader;

/**
 * Reads frames from MetaImage files: {@code .mha}, or {@code .mhd} with the samples in a file
 * beside it, plain or compressed. Scan parameters are taken from header lines of their names; the
 * spacings of the format are not used, since they do not say what they are the spacings of.
 *
 * <p>Plain frames are read when they are asked for; compressed ones are read into memory when the
 * file is opened, at most 2147483639 bytes. Whole frames before a place where the samples end early
 * or are damaged stay readable if frames are the last of {@code DimSize}.
 */
public final class MetaImageFileProvider implements FrameSourceProvider<ArrayFileConfig> {

    private static final String HERE = "LOCAL";

    /** For the service loader. */
    public MetaImageFileProvider() {}

    @Override
    public String name() {
        return "metaimage-file";
    }

    @Override
    public String summary() {
        return "Recorded frames from a MetaImage file (.mha, .mhd)";
    }

    @Override
    public String source() {
        return "MetaImage format description (MetaIO)";
    }

    @Override
    public ArrayFileConfig defaults() {
        return ArrayFileConfig.open(AxisOrder.SAMPLES_LINES_FRAMES);
    }

    @Override
    public boolean recognises(String location) {
        return Locations.test(location, MetaImageHeader::recognises);
    }

    @Override
    public FrameSource open(ArrayFileConfig config, String location) throws IOException {
        Path path = Locations.file(location);
        MetaImageHeader header = MetaImageHeader.read(path);
        ArrayInfo info = ArrayChoice.choose(location, "", "", List.of(header.info()));
        AxisOrder order = config.axisOrder().reversed();
        boolean local = header.dataFile().equals(HERE);
        Path data =
                local ? path : Locations.file(path.resolveSibling(header.dataFile()).toString());
        int[] shape = stored(info.shape());
        FileChannel channel = FileChannel.open(data, StandardOpenOption.READ);
        try {
            long start = local ? header.length() : header.skippedBytes();
            Samples samples =
                    header.compressed()
                            ? inflate(data, channel, Math.max(0, start), info, shape, header)
                            : plain(data, channel, start, info, shape, header, order);
            return Locations.framesBeforeDamage(
                    location,
                    config,
                    order,
                    samples.array(),
                    header::number,
                    samples.damage(),
                    channel);
        } catch (IOException | RuntimeException e) {
            channel.close();
            throw e;
        }
    }

    private record Samples(StoredArray array, Optional<String> damage) {}

    private static int[] stored(int[] dimSize) {
        int[] shape = new int[dimSize.length];
        for (int i = 0; i < shape.length; i++) {
            shape[i] = dimSize[shape.length - 1 - i];
        }
        return shape;
    }

    private static Samples plain(
            Path data,
            FileChannel channel,
            long start,
            ArrayInfo info,
            int[] shape,
            MetaImageHeader header,
            AxisOrder order)
            throws IOException {
        long bytes = info.element().bytes();
        for (int size : shape) {
            bytes = Math.multiplyExact(bytes, (long) size);
        }
        long from = start < 0 ? Math.max(0, channel.size() - bytes) : start;
        StoredArray array =
                new RegionArray(
                        data.toString(), info.element(), shape, channel, from, header.order());
        int frameAxis = order.frameAxis(shape.length);
        int frames = frameAxis < 0 ? 1 : shape[frameAxis];
        String damage =
                Locations.shortfall(
                        data.toString(), from, bytes / frames, frames, true, channel.size());
        return new Samples(array, Optional.ofNullable(damage));
    }

    /** Inflates as much as there is, up to what the header promises. */
    private static Samples inflate(
            Path data,
            FileChannel channel,
            long start,
            ArrayInfo info,
            int[] shape,
            MetaImageHeader header)
            throws IOException {
        ByteBuffer bytes =
                new BufferArray(
                                data.toString(),
                                info.element(),
                                shape,
                                ByteBuffer.allocate(0),
                                header.order())
                        .newBuffer(-1);
        String problem = null;
        channel.position(start);
        try {
            // Not closed: the channel is the source's.
            InputStream in = decompressor(Channels.newInputStream(channel));
            int read = 0;
            while (bytes.hasRemaining() && read >= 0) {
                read = in.read(bytes.array(), bytes.position(), bytes.remaining());
                bytes.position(bytes.position() + Math.max(0, read));
            }
        } catch (EOFException | ZipException e) {
            problem = e.getMessage();
        }
        String damage = null;
        if (bytes.hasRemaining()) {
            damage =
                    data
                            + ": expected "
                            + bytes.capacity()
                            + " bytes of samples compressed from byte offset "
                            + start
                            + " on, found "
                            + bytes.position()
                            + (problem == null ? "" : " before the damage: " + problem);
        }
        bytes.flip();
        return new Samples(
                new BufferArray(data.toString(), info.element(), shape, bytes, header.order()),
                Optional.ofNullable(damage));
    }

    /** Deflate comes with the wrapping of zlib, or with that of gzip. */
    private static InputStream decompressor(InputStream compressed) throws IOException {
        PushbackInputStream in = new PushbackInputStream(compressed, 2);
        byte[] magic = in.readNBytes(2);
        in.unread(magic);
        boolean gzip = magic.length == 2 && magic[0] == 0x1f && magic[1] == (byte) 0x8b;
        return gzip ? new GZIPInputStream(in) : new InflaterInputStream(in);
    }
}
