package org.elasto.recordings.hdf5;

import io.jhdf.ObjectHeader;
import io.jhdf.WritableDatasetImpl;
import io.jhdf.api.Attribute;
import io.jhdf.api.Group;
import io.jhdf.object.datatype.DataType;
import io.jhdf.object.message.AttributeInfoMessage;
import io.jhdf.object.message.AttributeMessage;
import io.jhdf.object.message.DataLayoutMessage.ContiguousDataLayoutMessage;
import io.jhdf.object.message.DataSpace;
import io.jhdf.object.message.DataSpaceMessage;
import io.jhdf.object.message.DataTypeMessage;
import io.jhdf.object.message.FillValueMessage;
import io.jhdf.object.message.Message;
import io.jhdf.storage.HdfFileChannel;
import java.io.IOException;
import java.lang.reflect.Array;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;

/**
 * A contiguous data set that is never in memory as a whole. jHDF asks a data set to write itself at
 * a place in the file; this one fetches its elements then.
 */
final class StreamedDataset extends WritableDatasetImpl {

    /** Carries an IOException through the library. */
    static final class FillingFailed extends RuntimeException {
        private static final long serialVersionUID = 1L;

        FillingFailed(IOException cause) {
            super(cause);
        }

        IOException cause() {
            return (IOException) getCause();
        }
    }

    private final DataType type;
    private final DataSpace space;
    private final Filler filler;
    private long written;

    /**
     * A data set.
     *
     * @param parent its group
     * @param name its name
     * @param element primitive type of its elements
     * @param shape sizes of its axes
     * @param filler delivers the elements
     */
    StreamedDataset(Group parent, String name, Class<?> element, int[] shape, Filler filler) {
        // One element stands for the type; this class brings its own data space.
        super(Array.newInstance(element, 1), name, parent);
        this.type = DataType.fromObject(Array.newInstance(element, 1));
        int[] ones = new int[shape.length];
        Arrays.fill(ones, 1);
        this.space =
                DataSpace.modifyDimensions(
                        DataSpace.fromObject(Array.newInstance(element, ones)), shape);
        this.filler = filler;
    }

    @Override
    public int[] getDimensions() {
        return space.getDimensions();
    }

    @Override
    public long getSize() {
        return space.getTotalLength();
    }

    @Override
    public long write(HdfFileChannel channel, long position) {
        try {
            // The header has the same size whatever the address is.
            long address = position + header(position, 0).limit();
            long size = getSizeInBytes();
            written = 0;
            filler.fill(bytes -> append(channel, address, bytes));
            if (written != size) {
                throw new IOException(
                        getPath() + ": expected " + size + " bytes to write, got " + written);
            }
            writeFully(channel, position, header(position, address));
            // What jHDF writes behind the last data set goes where the channel stands.
            channel.position(address + size);
            return address + size;
        } catch (IOException e) {
            channel.close(); // jHDF leaves it open when writing fails
            throw new FillingFailed(e);
        }
    }

    private void append(HdfFileChannel channel, long address, ByteBuffer bytes) throws IOException {
        int count = bytes.remaining();
        writeFully(channel, address + written, bytes);
        written += count;
    }

    private static void writeFully(HdfFileChannel channel, long at, ByteBuffer bytes)
            throws IOException {
        long position = at;
        while (bytes.hasRemaining()) {
            position += channel.getFileChannel().write(bytes, position);
        }
    }

    private ByteBuffer header(long position, long address) {
        List<Message> messages = new ArrayList<>();
        messages.add(DataTypeMessage.create(type));
        messages.add(DataSpaceMessage.create(space));
        messages.add(FillValueMessage.NO_FILL);
        messages.add(ContiguousDataLayoutMessage.create(address, getSizeInBytes()));
        if (!getAttributes().isEmpty()) {
            messages.add(AttributeInfoMessage.create());
            for (Map.Entry<String, Attribute> entry : getAttributes().entrySet()) {
                messages.add(AttributeMessage.create(entry.getKey(), entry.getValue()));
            }
        }
        return new ObjectHeader.ObjectHeaderV2(position, messages).toBuffer();
    }
}
