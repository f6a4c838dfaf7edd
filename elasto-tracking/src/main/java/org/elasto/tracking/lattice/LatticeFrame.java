package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.VectorLoops;

/**
 * A baseband frame dealt out for loops over whole tiles. It is cut into blocks of some samples of
 * one or two lines; the blocks one below the other are a strip, and some strips a tile. Sample
 * {@code p} of line {@code w} of every block stands in plane {@code w * block + p}, block after
 * block, so that sums over blocks and shifts by samples are sums and shifts of whole planes.
 * Besides, every second line is kept once more at one sample a block, for the first search. The
 * lines of a column of the lattice go together there: each has its plane, column after column.
 *
 * <p>Block {@code k} of strip {@code s} stands at {@code first + s * stride + k}; what separates
 * the strips, and some strips before the first and behind the last, is zero.
 */
final class LatticeFrame extends BasebandFrame {

    /** Strips of a tile, which loops run over as one. */
    static final int TILE = 4;

    /** Columns of a group. */
    static final int GROUP = 4;

    /**
     * What a frame must hold.
     *
     * @param lineStep lines of the scan from one that is kept to the next
     * @param block samples of a block
     * @param width lines of a block: 1 or 2
     * @param columnLines lines of a column of the lattice: a tile or two
     * @param margin blocks of zeros between the lines
     * @param guardStrips strips of zeros on either side
     */
    record Plan(int lineStep, int block, int width, int columnLines, int margin, int guardStrips) {}

    /** How blocks are laid out, in a frame and in what is computed from it. */
    static final class Shape {
        final int block;
        final int width;
        final int blocks;
        final int stride;

        /** Blocks side by side. */
        final int strips;

        /** Lines of a column of the lattice, and in how many planes every second one lies. */
        final int columnLines;

        final int planes;
        final int columns;
        final int tiles;
        final int first;
        final int size;

        /** Zeros before and behind a plane of the lattice. */
        final int latticeFirst;

        final int latticeSize;

        private Shape(int lines, int length, Plan plan) {
            block = Math.min(length, plan.block);
            width = plan.width;
            strips = (lines + width - 1) / width;
            columnLines = plan.columnLines;
            planes = columnLines / 2;
            blocks = (length + block - 1) / block;
            columns = (lines + columnLines * GROUP - 1) / (columnLines * GROUP) * GROUP;
            // Cells of the search begin at the same place in every line.
            int cell = LatticeSearch.CELL;
            stride = (blocks + plan.margin + cell - 1) / cell * cell;
            int paddedStrips = columns * columnLines / width;
            tiles = paddedStrips / TILE;
            first = plan.guardStrips * stride;
            size = paddedStrips * stride + 2 * first;
            latticeFirst = (columns + 2) * stride;
            latticeSize = columns * stride + 2 * latticeFirst;
        }

        /** First plane of a line, counted from the first of any block. */
        int planeOfLine(int line) {
            return Math.floorMod(line, width) * block;
        }

        /** Distance from the first block of a strip to where such a line begins in its planes. */
        int startOfLine(int line) {
            return Math.floorDiv(line, width) * stride;
        }

        /**
         * Products of what depends on the strip and what depends on the place along it.
         *
         * @param across a factor for each strip
         * @param along a factor for each block from the first one on
         * @return the products, by tile; 0 elsewhere
         */
        float[][] products(float[] across, float[] along) {
            float[][] result = new float[tiles][TILE * stride];
            for (int strip = 0; strip < strips; strip++) {
                int at = strip % TILE * stride;
                for (int k = 0; k < along.length; k++) {
                    result[strip / TILE][at + k] = across[strip] * along[k];
                }
            }
            return result;
        }

        /** Plane of the first (0) and second (1) line of a column that the first frame shows. */
        int plane(int which) {
            return which * planes / 2;
        }

        /** Line of a column, the first of it being 0, in the middle of those two. */
        int middleLine() {
            return plane(1);
        }
    }

    final Shape shape;

    /** Planes by the place in the block. */
    final float[][] phaseRe;

    final float[][] phaseIm;

    /** Energy of each block in each of its lines. */
    final float[][] energy;

    /** Every second line, one sample a block: a plane for each line of a column. */
    final float[][] latticeRe;

    final float[][] latticeIm;

    private final float[] taper;
    private final Scratch[] scratch;

    private static final class Scratch {
        final float[][] re;
        final float[][] im;
        final float[] before;
        final float[] after;
        final float[] sum;

        Scratch(Shape s) {
            re = new float[s.block][s.stride];
            im = new float[s.block][s.stride];
            before = new float[s.stride];
            after = new float[s.stride];
            sum = new float[s.stride];
        }
    }

    LatticeFrame(
            ScanGeometry geometry, double bandwidth, int decimation, Workers workers, Plan plan) {
        super(geometry, bandwidth, decimation, plan.lineStep, workers, LatticeFrame::converter);
        shape = new Shape(lines, length, plan);
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch(shape));
        taper = taper(shape.block);
        phaseRe = new float[shape.width * shape.block][shape.size];
        phaseIm = new float[shape.width * shape.block][shape.size];
        energy = new float[shape.width][shape.size];
        latticeRe = new float[shape.planes][shape.latticeSize];
        latticeIm = new float[shape.planes][shape.latticeSize];
    }

    /** Flat flanks: half the taps of steep ones, and no worse displacement. */
    private static BasebandConverter converter(
            ScanGeometry geometry, double bandwidth, int decimation) {
        return new BasebandConverter(
                geometry,
                bandwidth,
                decimation,
                BasebandConverter.flatFlanks(geometry, bandwidth, decimation));
    }

    private LatticeFrame(LatticeFrame like) {
        super(like);
        shape = like.shape;
        scratch = like.scratch;
        taper = like.taper;
        phaseRe = new float[shape.width * shape.block][shape.size];
        phaseIm = new float[shape.width * shape.block][shape.size];
        energy = new float[shape.width][shape.size];
        latticeRe = new float[shape.planes][shape.latticeSize];
        latticeIm = new float[shape.planes][shape.latticeSize];
    }

    @Override
    public BasebandFrame another() {
        return new LatticeFrame(this);
    }

    /** A raised cosine over two blocks, its sum 1; the first half, from the outermost. */
    private static float[] taper(int block) {
        float[] taper = new float[block];
        for (int i = 0; i < block; i++) {
            taper[i] = (float) ((1 - Math.cos(Math.PI * (i + 0.5) / block)) / (2 * block));
        }
        return taper;
    }

    @Override
    protected void prepareLine(int line, int worker) {
        Scratch s = scratch[worker];
        int at = line * stride + MARGIN;
        int plane = shape.planeOfLine(line);
        int to = shape.first + shape.startOfLine(line);
        deal(re, at, s.re);
        deal(im, at, s.im);
        for (int p = 0; p < shape.block; p++) {
            System.arraycopy(s.re[p], 0, phaseRe[plane + p], to, shape.blocks);
            System.arraycopy(s.im[p], 0, phaseIm[plane + p], to, shape.blocks);
        }
        VectorLoops.power(s.sum, s.re[0], s.im[0], shape.blocks);
        for (int p = 1; p < shape.block; p++) {
            VectorLoops.addPower(s.sum, s.re[p], s.im[p], shape.blocks);
        }
        System.arraycopy(s.sum, 0, energy[line % shape.width], to, shape.blocks);
        if (line % 2 == 0) {
            int lattice = line / 2 % shape.planes;
            int into = shape.latticeFirst + line / shape.columnLines * shape.stride;
            thin(phaseRe, plane, to, s, latticeRe[lattice], into);
            thin(phaseIm, plane, to, s, latticeIm[lattice], into);
        }
    }

    /** Samples of a line that stand at a place in their block. */
    private int count(int place) {
        return (length - place + shape.block - 1) / shape.block;
    }

    /** Deals out a line: four places at a time, so that bounds are checked once for all of them. */
    private void deal(float[] from, int first, float[][] to) {
        int block = shape.block;
        int p = 0;
        for (; p + 3 < block; p += 4) {
            int n = count(p + 3);
            deal(from, first + p, block, to[p], to[p + 1], to[p + 2], to[p + 3], n);
            for (int q = p; q < p + 3; q++) {
                deal(from, first + q, block, to[q], n, count(q));
            }
        }
        for (; p < block; p++) {
            deal(from, first + p, block, to[p], 0, count(p));
        }
    }

    private static void deal(
            float[] from, int first, int step, float[] a, float[] b, float[] c, float[] d, int n) {
        for (int k = 0; k < n; k++) {
            int at = first + k * step;
            a[k] = from[at];
            b[k] = from[at + 1];
            c[k] = from[at + 2];
            d[k] = from[at + 3];
        }
    }

    private static void deal(float[] from, int first, int step, float[] to, int begin, int end) {
        for (int k = begin; k < end; k++) {
            to[k] = from[first + k * step];
        }
    }

    /** One sample a block: the taper around the middle of the block. */
    private void thin(float[][] planes, int first, int at, Scratch s, float[] out, int into) {
        int block = shape.block;
        int before = block / 2;
        for (int i = 0; i < block; i++) {
            int early = i - before;
            int late = 2 * block - 1 - i - before;
            fetch(planes, first, at, early, s.before);
            fetch(planes, first, at, late, s.after);
            if (i == 0) {
                VectorLoops.scaleSum(s.sum, s.before, s.after, taper[i], shape.blocks);
            } else {
                VectorLoops.addScaledSum(s.sum, s.before, s.after, taper[i], shape.blocks);
            }
        }
        System.arraycopy(s.sum, 0, out, into, shape.blocks);
    }

    private void fetch(float[][] planes, int first, int at, int sample, float[] to) {
        int plane = first + Math.floorMod(sample, shape.block);
        int shift = Math.floorDiv(sample, shape.block);
        System.arraycopy(planes[plane], at + shift, to, 0, shape.blocks);
    }
}
