package org.elasto.recordings.source;

import java.io.IOException;
import java.util.Collection;
import java.util.List;
import java.util.stream.Collectors;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ElementType;

/** Finds the array of a file that holds the frames. */
final class ArrayChoice {

    private ArrayChoice() {}

    /**
     * Chooses an array.
     *
     * @param file the file for messages
     * @param wanted name that the caller gives, or empty
     * @param usual name that is taken if the caller gives none
     * @param arrays the arrays of the file
     * @throws IOException if no array can hold frames
     * @throws IllegalArgumentException if the caller has to give another name, with the arrays
     *     there are
     */
    static ArrayInfo choose(String file, String wanted, String usual, Collection<ArrayInfo> arrays)
            throws IOException {
        if (!wanted.isEmpty()) {
            return named(file, wanted, arrays);
        }
        List<ArrayInfo> candidates = arrays.stream().filter(ArrayInfo::holdsFrames).toList();
        for (ArrayInfo array : candidates) {
            if (array.name().equals(usual)) {
                return array;
            }
        }
        if (candidates.isEmpty()) {
            throw new IOException(
                    file
                            + " has no array that could hold frames (expected 2 or 3 axes and real"
                            + " numbers of "
                            + ElementType.labels()
                            + "); "
                            + list(arrays));
        }
        if (candidates.size() > 1) {
            throw new IllegalArgumentException(
                    file
                            + " has several arrays that could hold frames and none named '"
                            + usual
                            + "'; choose by array-name: "
                            + text(candidates));
        }
        return candidates.get(0);
    }

    private static ArrayInfo named(String file, String wanted, Collection<ArrayInfo> arrays) {
        ArrayInfo array =
                arrays.stream()
                        .filter(a -> a.name().equals(wanted) || a.name().equals("/" + wanted))
                        .findFirst()
                        .orElseThrow(
                                () ->
                                        new IllegalArgumentException(
                                                file
                                                        + " has no array named '"
                                                        + wanted
                                                        + "'; "
                                                        + list(arrays)));
        int[] shape = array.shape();
        boolean empty = java.util.Arrays.stream(shape).anyMatch(size -> size < 1);
        if (array.element() == null || shape.length < 2 || shape.length > 3 || empty) {
            throw new IllegalArgumentException(
                    file
                            + ": array "
                            + array
                            + " cannot hold frames; expected 2 or 3 axes, none empty, and real"
                            + " numbers of "
                            + ElementType.labels()
                            + "; "
                            + list(arrays));
        }
        return array;
    }

    private static String list(Collection<ArrayInfo> arrays) {
        return arrays.isEmpty() ? "there are no arrays" : "there are: " + text(arrays);
    }

    private static String text(Collection<ArrayInfo> arrays) {
        return arrays.stream().map(ArrayInfo::toString).collect(Collectors.joining(", "));
    }
}
