package org.elasto.samples.live;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicReferenceArray;
import java.util.concurrent.locks.LockSupport;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.measure.Region;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.measure.RegionStatistics;
import org.elasto.strain.picture.Picture;

/**
 * Copies finished images out of the session, on a thread of its own, into one of two pictures: one
 * is drawn while the other is filled.
 */
final class Exchange implements AutoCloseable {

    static final int REGIONS = 2;

    /** Regions are measured once in so many images: figures that change faster cannot be read. */
    private static final int IMAGES_PER_MEASUREMENT = 5;

    private final Thread thread;
    private final Runnable changed;
    private final History history;
    private final AtomicReferenceArray<Region> regions = new AtomicReferenceArray<>(REGIONS);
    private volatile Imaging imaging;
    private volatile boolean closed;
    private volatile boolean waiting;

    // Guarded by this.
    private BufferedImage front;
    private BufferedImage back;
    private Seen seen;
    private long sequence;

    // The thread's own.
    private final RegionStatistics[] statistics = new RegionStatistics[REGIONS];
    private final Region[] measured = new Region[REGIONS];
    private String[] regionTexts = {"", ""};
    private RegionComparison comparison;
    private Imaging measuredIn;
    private int sinceMeasurement;

    /** Tells of every new picture by running {@code changed} on the exchange's thread. */
    Exchange(History history, Runnable changed) {
        this.history = history;
        this.changed = changed;
        thread = new Thread(this::run, "pictures");
        thread.setDaemon(true);
        thread.start();
    }

    void serve(Imaging newImaging) {
        imaging = newImaging;
        LockSupport.unpark(thread);
    }

    /** There is an image to be taken. */
    void ready() {
        waiting = true;
        LockSupport.unpark(thread);
    }

    void setRegion(int number, Region region) {
        regions.set(number, region);
    }

    Region region(int number) {
        return regions.get(number);
    }

    private void run() {
        while (!closed) {
            if (!waiting) {
                LockSupport.park(this);
                continue;
            }
            waiting = false;
            Imaging current = imaging;
            if (current == null) {
                continue;
            }
            boolean copied = false;
            try (LiveImage image = current.take()) {
                if (image != null) {
                    copy(image, current);
                    copied = true;
                }
            }
            if (copied) {
                changed.run();
            }
        }
    }

    private void copy(LiveImage image, Imaging from) {
        measure(image, from);
        Seen now = Seen.of(image, from, regionTexts, comparison);
        history.add(now);
        Picture picture = image.picture();
        BufferedImage target = back;
        if (target == null
                || target.getWidth() != picture.width()
                || target.getHeight() != picture.height()) {
            target =
                    new BufferedImage(
                            picture.width(), picture.height(), BufferedImage.TYPE_INT_RGB);
        }
        int[] argb = picture.argb();
        System.arraycopy(argb, 0, pixels(target), 0, argb.length);
        synchronized (this) {
            back = front;
            front = target;
            seen = now;
            sequence++;
        }
    }

    private static int[] pixels(BufferedImage image) {
        return ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
    }

    private void measure(LiveImage image, Imaging from) {
        boolean due = ++sinceMeasurement >= IMAGES_PER_MEASUREMENT;
        for (int i = 0; i < REGIONS; i++) {
            Region region = regions.get(i);
            if (measuredIn != from || measured[i] != region) {
                measured[i] = region;
                statistics[i] = statistics(region, from, i);
                due = true;
            }
        }
        measuredIn = from;
        if (!due) {
            return;
        }
        sinceMeasurement = 0;
        String[] texts = new String[REGIONS];
        for (int i = 0; i < REGIONS; i++) {
            RegionStatistics each = statistics[i];
            texts[i] = each == null ? regionTexts[i] : "";
            if (measured[i] == null) {
                texts[i] = "not drawn";
            }
            if (each != null) {
                each.update(image.relative(), image.deviation(), image.trusted());
                texts[i] = text(each);
            }
        }
        regionTexts = texts;
        comparison =
                statistics[0] == null || statistics[1] == null
                        ? null
                        : RegionComparison.of(statistics[0], statistics[1]);
    }

    private RegionStatistics statistics(Region region, Imaging from, int number) {
        if (region == null) {
            return null;
        }
        try {
            return new RegionStatistics(region, from.strainLayout(), from.fieldLayout());
        } catch (IllegalArgumentException e) {
            regionTexts[number] = e.getMessage();
            return null;
        }
    }

    private static String text(RegionStatistics region) {
        if (region.trustedCells() == 0) {
            return "nothing trusted";
        }
        return String.format(
                Locale.ROOT,
                "%.2f \u00b1 %.2f, %.0f %% trusted",
                region.mean(),
                region.meanDeviation(),
                100 * region.trustedShare());
    }

    /** What is seen now; null before the first picture. */
    synchronized Seen seen() {
        return seen;
    }

    /** How many pictures there have been. */
    synchronized long sequence() {
        return sequence;
    }

    /** Width and height of the picture in pixels, or null before the first one. */
    synchronized int[] size() {
        return front == null ? null : new int[] {front.getWidth(), front.getHeight()};
    }

    /** Draws the newest picture; returns its number. */
    synchronized long draw(Graphics2D graphics, int x, int y, int width, int height) {
        if (front != null) {
            graphics.drawImage(front, x, y, width, height, null);
        }
        return sequence;
    }

    /** A copy of the newest picture, or null before the first one. */
    synchronized Picture copy() {
        if (front == null) {
            return null;
        }
        Picture picture = new Picture(front.getWidth(), front.getHeight());
        int[] from = pixels(front);
        int[] to = picture.argb();
        for (int i = 0; i < to.length; i++) {
            to[i] = 0xff000000 | from[i];
        }
        return picture;
    }

    @Override
    public void close() {
        closed = true;
        LockSupport.unpark(thread);
        Threads.join(thread);
    }
}
