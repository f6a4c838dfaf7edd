package org.elasto.tracking.seedgrowth;

/**
 * A queue of cells from which the best comes first: a binary heap in arrays. Of two cells of equal
 * quality the one of lower number comes first, so that the order does not depend on how they came
 * in. Holds each cell at most once at a time; allocates nothing after it was made.
 */
final class BestFirstQueue {

    private final int[] heap;
    private final float[] quality;
    private int size;

    BestFirstQueue(int cells) {
        heap = new int[cells];
        quality = new float[cells];
    }

    void clear() {
        size = 0;
    }

    boolean isEmpty() {
        return size == 0;
    }

    void add(int cell, float cellQuality) {
        quality[cell] = cellQuality;
        int at = size++;
        while (at > 0 && before(cell, heap[(at - 1) / 2])) {
            heap[at] = heap[(at - 1) / 2];
            at = (at - 1) / 2;
        }
        heap[at] = cell;
    }

    int removeBest() {
        int best = heap[0];
        int cell = heap[--size];
        int at = 0;
        for (int child = 1; child < size; child = 2 * at + 1) {
            if (child + 1 < size && before(heap[child + 1], heap[child])) {
                child++;
            }
            if (!before(heap[child], cell)) {
                break;
            }
            heap[at] = heap[child];
            at = child;
        }
        heap[at] = cell;
        return best;
    }

    private boolean before(int a, int b) {
        return quality[a] > quality[b] || quality[a] == quality[b] && a < b;
    }
}
