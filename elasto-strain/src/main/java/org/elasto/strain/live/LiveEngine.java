package org.elasto.strain.live;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.FrameHoldingEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.ShownQuantity;
import org.elasto.strain.picture.StrainPicture;

/**
 * The work on one frame, without threads of its own. Frames lie in numbered slots; the engine holds
 * some of them as partners for later ones and tells which one it lets go.
 *
 * <p>One thread at a time. In steady state a call allocates nothing.
 */
final class LiveEngine {

    /** Sideways motion between the frames of a pair, in line pitches, that is still compared. */
    private static final double MOST_PITCHES = 1.5;

    /** Share of echoes that must be recognised for the same tissue to be in view. */
    private static final double SAME_VIEW = 0.5;

    /** Frames a second where neither time stamps nor geometry tell; common practice, no source. */
    private static final double USUAL_FRAME_RATE = 50;

    private final LiveSetup.Parts parts;
    private final LiveConfig config;
    private final RfFrame[] slots;
    private final double framePeriod;
    private final double linePitch;
    private final DisplacementEstimator tracker;

    /** The tracker, if it holds frames; then under the numbers of the slots they lie in. */
    private final FrameHoldingEstimator holder;

    private final boolean[] prepared;
    private final StrainEstimator differentiator;
    private final DisplacementField field;
    private final SessionMetrics metrics;
    private final MotionScout scout;
    private final TissuePath path;
    private final RelativeStrain relation;
    private final TimeAverage average;
    private final StrainPicture picture;
    private final Contract contract = new Contract();
    private final String[] titles;
    private final Tally tally;

    /** Slots that are held, oldest first, with what is known of each. */
    private final int[] held;

    private final double[] press;
    private final double[] place;
    private int holding;

    /** How many of the held ones, the newest, show the same tissue. */
    private int related;

    /** Half-life of the average (s); set by any thread, read once a frame. */
    private volatile double halfLife;

    private int freed;
    private double expectedStrain;
    private Advice advice = Advice.STARTING;
    private long lastIndex;
    private long lastNanos;
    private boolean seenAny;

    private long newestPairNanos = Long.MIN_VALUE;

    LiveEngine(LiveSetup.Parts parts, RfFrame[] slots, Tally tally) {
        this.parts = parts;
        this.slots = slots;
        this.tally = tally;
        config = parts.config();
        halfLife = config.halfLife();
        Workers workers = parts.workers();
        ScanGeometry geometry = parts.geometry();
        double rate = geometry.frameRate();
        framePeriod = 1 / (Double.isNaN(rate) ? USUAL_FRAME_RATE : rate);
        linePitch = geometry.lineSpacing((geometry.firstDepth() + geometry.lastDepth()) / 2);
        tracker = parts.tracker();
        holder = tracker instanceof FrameHoldingEstimator able ? able : null;
        prepared = new boolean[slots.length];
        if (holder != null) {
            holder.reserve(slots.length);
        }
        differentiator = parts.differentiator();
        field = tracker.newField();
        StrainLayout layout = differentiator.layout();
        scout = new MotionScout(geometry, slots.length, workers);
        path = new TissuePath(scout, linePitch);
        relation = new RelativeStrain(layout, workers);
        metrics = new SessionMetrics(parts.metrics(), relation::fitTo, workers);
        average =
                new TimeAverage(
                        layout, scout, path, config.halfLife(), config.deviationLimit(), workers);
        picture =
                parts.pictures() == null
                        ? null
                        : new StrainPicture(parts.pictures(), layout, workers);
        titles = new String[Advice.values().length];
        for (Advice each : Advice.values()) {
            titles[each.ordinal()] = parts.title() + "\n" + each.text();
        }
        held = new int[config.heldFrames()];
        press = new double[config.heldFrames()];
        place = new double[config.heldFrames()];
    }

    /** From the next frame on a pair counts half after that time (s). */
    void setHalfLife(double seconds) {
        halfLife = seconds;
    }

    /** Memory for one image. */
    LiveImage newImage(LiveSession owner) {
        boolean[] mapped = new boolean[metrics.count()];
        for (int i = 0; i < mapped.length; i++) {
            mapped[i] = metrics.hasMap(i);
        }
        Picture drawn = null;
        if (picture != null) {
            drawn = picture.newPicture();
        }
        return new LiveImage(
                tracker.layout(), differentiator.layout(), mapped.length, mapped, drawn, owner);
    }

    /**
     * Works on the frame in a slot.
     *
     * @param slot where it lies; it may be held from now on
     * @param out receives all there is to say about it
     * @return the slot that is let go, this one or an older one; -1 if none is
     */
    int process(int slot, LiveImage out) {
        RfFrame frame = slots[slot];
        out.begin(frame);
        freed = slot;
        prepared[slot] = false;
        average.setHalfLife(halfLife);
        average.age(sinceLast(frame));
        Refusal refusal;
        try {
            refusal = compare(slot, frame, out);
        } catch (PluginFailure failure) {
            refusal = Refusal.FAILED;
            report(failure.getMessage(), failure.stage(), frame, failure.getCause());
        }
        if (refusal == null) {
            tally.compared.incrementAndGet();
        } else {
            out.clearPair();
            out.partnerIndex = -1;
            tally.refuse(refusal);
        }
        out.refusal = refusal;
        out.advice = advice;
        long start = System.nanoTime();
        average.read(out.averaged());
        out.newestPairNanos = newestPairNanos;
        start = tally.spend(Stage.AVERAGING, start);
        if (picture != null) {
            picture.drawInto(
                    out.picture(),
                    titles[advice.ordinal()],
                    frame,
                    out.relative(),
                    out.trusted(),
                    ShownQuantity.RELATIVE_STRAIN);
            tally.spend(Stage.DRAWING, start);
        }
        return freed;
    }

    /** Time since the last frame (s), by time stamps, or by indices if those stand still. */
    private double sinceLast(RfFrame frame) {
        double seconds = 0;
        if (seenAny) {
            seconds = seconds(frame.timeNanos() - lastNanos, frame.index() - lastIndex);
        }
        seenAny = true;
        lastIndex = frame.index();
        lastNanos = frame.timeNanos();
        return seconds;
    }

    private double seconds(long nanos, long frames) {
        return nanos > 0 ? nanos * 1e-9 : Math.max(1, frames) * framePeriod;
    }

    private Refusal compare(int slot, RfFrame frame, LiveImage out) {
        long start = System.nanoTime();
        int choice;
        Refusal refusal;
        try {
            refusal = scoutAhead(slot, frame, out);
            choice = refusal == null ? choosePartner() : -1;
            if (refusal == null && choice < 0) {
                refusal = advice == Advice.TOO_FAST ? Refusal.TOO_FAST : Refusal.TOO_STILL;
            }
        } finally {
            start = tally.spend(Stage.SCOUTING, start);
        }
        return refusal != null ? refusal : compareWith(choice, frame, out);
    }

    /** Contact and motion since the frame before; null if the frame is worth comparing. */
    private Refusal scoutAhead(int slot, RfFrame frame, LiveImage out) {
        scout.take(slot, frame);
        if (scout.flawedShare(slot) > config.badShare()) {
            return Refusal.BAD_SAMPLES;
        }
        int last = related > 0 ? held[holding - 1] : slot;
        scout.compare(last, slot, expectedStrain);
        out.contactShare = scout.contactShare();
        out.depthReached = scout.depthReached();
        if (scout.contactShare() < config.leastContact()) {
            advice = Advice.NO_CONTACT;
            forget();
            return Refusal.NO_CONTACT;
        }
        if (last == slot) {
            advice = Advice.STARTING;
            forget();
            hold(slot, 0, 0);
            return Refusal.NO_PARTNER;
        }
        double strain = scout.strain();
        double sideways = scout.sideways();
        out.strainSinceLast = strain;
        out.sidewaysSinceLast = sideways;
        boolean recognised = goOn(slot, strain, sideways);
        double between = Math.max(secondsBetween(last, slot), 1e-9);
        if (Math.abs(sideways) / between > config.mostSpeed()) {
            advice = Advice.SLIDING_SIDEWAYS;
            return Refusal.SIDEWAYS;
        }
        if (!recognised || Math.abs(strain) > config.mostStrain()) {
            advice = Advice.TOO_FAST;
            return Refusal.TOO_FAST;
        }
        return null;
    }

    private double secondsBetween(int earlier, int later) {
        return seconds(
                slots[later].timeNanos() - slots[earlier].timeNanos(),
                slots[later].index() - slots[earlier].index());
    }

    /**
     * Holds the frame as the next step of the tissue's path, or as the first of a new one.
     *
     * @return whether it shows the same tissue as the one before
     */
    private boolean goOn(int slot, double strain, double sideways) {
        if (scout.sameShare() < SAME_VIEW || Double.isNaN(strain)) {
            forget();
            hold(slot, 0, 0);
            return false;
        }
        expectedStrain = Math.max(-0.03, Math.min(0.03, strain));
        path.advance();
        average.followSideways();
        hold(slot, press[holding - 1] + strain, place[holding - 1] + sideways);
        return true;
    }

    private void hold(int slot, double newPress, double newPlace) {
        if (holding == held.length) {
            freed = held[0];
            System.arraycopy(held, 1, held, 0, holding - 1);
            System.arraycopy(press, 1, press, 0, holding - 1);
            System.arraycopy(place, 1, place, 0, holding - 1);
            holding--;
            related = Math.min(related, holding);
        } else {
            freed = -1;
        }
        held[holding] = slot;
        press[holding] = newPress;
        place[holding] = newPlace;
        holding++;
        related++;
    }

    /** Tissue before this moment has nothing to do with what is seen now. */
    private void forget() {
        related = 0;
        expectedStrain = 0;
        path.begin();
        average.clear();
        metrics.forget();
        newestPairNanos = Long.MIN_VALUE;
    }

    /**
     * The best partner of the newest frame: squeezed by about the target against it, not shifted
     * sideways, and not older than need be.
     *
     * @return its place among the held ones, or -1 if there is none; then advice says why
     */
    private int choosePartner() {
        int newest = holding - 1;
        int best = -1;
        double most = 0;
        boolean anyAbove = false;
        for (int i = newest - 1; i > newest - related; i--) {
            double size = Math.abs(press[newest] - press[i]);
            double aside = Math.abs(place[newest] - place[i]) / (MOST_PITCHES * linePitch);
            anyAbove |= size > config.mostStrain();
            if (size >= config.leastStrain() && size <= config.mostStrain() && aside < 1) {
                double ratio = Math.min(size, config.targetStrain());
                ratio /= Math.max(size, config.targetStrain());
                double merit = ratio * (1 - 0.5 * aside) * (1 - 0.02 * (newest - i));
                if (merit > most) {
                    most = merit;
                    best = i;
                }
            }
        }
        advice = best >= 0 ? Advice.GOOD : anyAbove ? Advice.TOO_FAST : Advice.TOO_STILL;
        return best;
    }

    private Refusal compareWith(int choice, RfFrame frame, LiveImage out) {
        RfFrame partner = slots[held[choice]];
        out.partnerIndex = partner.index();
        track(held[holding - 1], held[choice]);
        differentiate(out.strain());
        judge(frame, partner, out);
        long start = System.nanoTime();
        boolean related = relation.divideInto(out.pair());
        if (!related || relation.known() < config.leastTrusted() * out.pairTrusted().length) {
            tally.spend(Stage.AVERAGING, start);
            advice = Advice.TOO_FAST;
            return Refusal.NOTHING_TRUSTED;
        }
        average.add(out.pair());
        newestPairNanos = frame.timeNanos();
        out.pairStrain = relation.typicalStrain();
        tally.spend(Stage.AVERAGING, start);
        return null;
    }

    private void track(int newest, int partner) {
        long start = System.nanoTime();
        try {
            if (holder != null) {
                prepare(newest);
                prepare(partner);
                holder.estimateHeld(newest, partner, field);
            } else {
                tracker.estimate(slots[newest], slots[partner], field);
            }
            contract.check(field);
        } catch (RuntimeException | LinkageError | StackOverflowError | AssertionError e) {
            throw new PluginFailure(parts.trackerName(), Stage.TRACKING, e);
        } finally {
            tally.spend(Stage.TRACKING, start);
        }
    }

    private void prepare(int slot) {
        if (!prepared[slot]) {
            holder.hold(slot, slots[slot]);
            prepared[slot] = true;
        }
    }

    private void differentiate(StrainImage strain) {
        long start = System.nanoTime();
        try {
            differentiator.estimate(field, strain);
            contract.check(strain);
        } catch (RuntimeException | LinkageError | StackOverflowError | AssertionError e) {
            throw new PluginFailure(parts.differentiatorName(), Stage.DIFFERENTIATING, e);
        } finally {
            tally.spend(Stage.DIFFERENTIATING, start);
        }
    }

    private void judge(RfFrame frame, RfFrame partner, LiveImage out) {
        long start = System.nanoTime();
        metrics.judge(frame, partner, field, out);
        for (int i = 0; i < metrics.count(); i++) {
            if (metrics.failure(i) != null) {
                report(metrics.name(i), Stage.JUDGING, frame, metrics.failure(i));
            }
        }
        tally.spend(Stage.JUDGING, start);
    }

    private void report(String plugin, Stage stage, RfFrame frame, Throwable cause) {
        tally.failures.incrementAndGet();
        try {
            parts.listener().failed(new LiveFailure(plugin, stage, frame.index(), cause));
        } catch (RuntimeException e) {
            tally.failures.incrementAndGet();
        }
    }
}
