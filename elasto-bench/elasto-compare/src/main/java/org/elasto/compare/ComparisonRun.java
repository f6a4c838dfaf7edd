package org.elasto.compare;

import java.io.IOException;
import java.io.InterruptedIOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.RecordingWriter;

/**
 * Does the cases of a comparison one after another, each with all workers, so that times can be
 * compared. A finished case is a folder that was moved into place as a whole; its name holds a
 * fingerprint of all that its outcome depends on, the code included, and a case that is there is
 * not done again.
 */
final class ComparisonRun {

    private static final int STEPS = 100;
    private static final int FINGERPRINT_DIGITS = 12;
    private static final String CASES = "cases";
    private static final String SOURCES = "sources";

    private final ComparisonFile plan;
    private final Path folder;
    private final Workers workers;
    private final boolean again;
    private final Map<ComparisonCase, CaseOutcome> outcomes = new LinkedHashMap<>();
    private final Map<PlannedSource, Path> shownFrames = new LinkedHashMap<>();
    private int doneBefore;

    ComparisonRun(ComparisonFile plan, Path folder, Workers workers, boolean again) {
        this.plan = plan;
        this.folder = folder;
        this.workers = workers;
        this.again = again;
    }

    /** How each case ended, in the order of the file. */
    Map<ComparisonCase, CaseOutcome> outcomes() {
        return outcomes;
    }

    /** The recording of the frame that is shown of each source that could be read. */
    Map<PlannedSource, Path> shownFrames() {
        return shownFrames;
    }

    /** Number of cases that had been done before. */
    int doneBefore() {
        return doneBefore;
    }

    /**
     * Does what is not done yet, with a progress bar on the error stream.
     *
     * @throws IOException if results cannot be written, or on an interrupt; a case that fails is an
     *     outcome
     */
    void run() throws IOException {
        Files.createDirectories(folder.resolve(CASES));
        Files.createDirectories(folder.resolve(SOURCES));
        clear(folder.resolve(CASES), path -> path.getFileName().toString().startsWith("."));
        int count = plan.sources().size() * plan.estimators().size() * plan.strains().size();
        try (ProgressBar progress =
                new ProgressBarBuilder()
                        .setTaskName("comparing")
                        .setInitialMax((long) count * STEPS)
                        .setUnit(" cases", STEPS)
                        .setStyle(ProgressBarStyle.ASCII)
                        .build()) {
            for (PlannedSource source : plan.sources()) {
                run(source, progress);
            }
        }
    }

    private void run(PlannedSource source, ProgressBar progress) throws IOException {
        List<ComparisonCase> cases = new ArrayList<>();
        for (Setting estimator : plan.estimators()) {
            for (Setting strain : plan.strains()) {
                cases.add(new ComparisonCase(source, estimator, strain));
            }
        }
        String identity;
        try {
            identity = source.identity();
        } catch (IOException | RuntimeException e) {
            cases.forEach(c -> finish(c, CaseOutcome.failed(e), progress));
            return;
        }
        Path frame =
                folder.resolve(SOURCES)
                        .resolve(
                                digits(identity + plan.shown() + code(Catalogue.class, Main.class))
                                        + ".h5");
        List<ComparisonCase> open = new ArrayList<>();
        for (ComparisonCase work : cases) {
            CaseOutcome outcome = again ? null : before(place(work, identity));
            if (outcome == null || !Files.exists(frame)) {
                open.add(work);
                outcomes.put(work, null); // holds its place in the order
            } else {
                doneBefore++;
                finish(work, outcome, progress);
            }
        }
        shownFrames.put(source, frame);
        if (!open.isEmpty()) {
            run(source, identity, frame, open, progress);
        }
    }

    private void run(
            PlannedSource source,
            String identity,
            Path frame,
            List<ComparisonCase> cases,
            ProgressBar progress)
            throws IOException {
        List<ComparisonCase> left = new ArrayList<>(cases);
        Throwable trouble = null;
        try (FrameSource frames = source.open(workers);
                TrueMotion motion = source.motion(frames)) {
            int shown = shown(frames);
            KeptFrames kept = new KeptFrames(frames, motion);
            writeFrame(frame, kept, shown);
            for (ComparisonCase work : cases) {
                left.remove(work);
                finish(work, attempt(work, kept, shown, place(work, identity), progress), progress);
            }
        } catch (WriteProblem e) {
            throw e.io();
        } catch (InterruptedIOException e) {
            throw e;
        } catch (IOException | RuntimeException | OutOfMemoryError e) {
            Interruption.check();
            trouble = e;
        }
        for (ComparisonCase work : left) {
            finish(work, CaseOutcome.failed(trouble), progress);
        }
    }

    private int shown(FrameSource frames) {
        int pairs = frames.frameCount() - 1;
        if (pairs < 1) {
            throw new IllegalArgumentException(
                    frames.name()
                            + " has "
                            + frames.frameCount()
                            + " frame(s); strain needs at least two");
        }
        int shown = plan.shown() < 0 ? pairs / 2 : plan.shown();
        if (shown >= pairs) {
            throw new IllegalArgumentException(
                    "shown-pair is "
                            + shown
                            + "; "
                            + frames.name()
                            + " has pairs 0 to "
                            + (pairs - 1));
        }
        return shown;
    }

    /** Writing has failed: no case is to blame, and going on is of no use. */
    private static final class WriteProblem extends UncheckedIOException {
        private static final long serialVersionUID = 1;

        WriteProblem(IOException cause) {
            super(cause);
        }

        IOException io() {
            return getCause();
        }
    }

    private CaseOutcome attempt(
            ComparisonCase work, KeptFrames frames, int shown, Path place, ProgressBar progress)
            throws IOException {
        CaseJob job;
        CaseMeasures measures;
        long start = progress.getCurrent();
        try {
            job = new CaseJob(work, frames, shown, plan.qualities(), workers);
            // The last step is made when the results are written.
            measures = job.run(share -> progress.stepTo(start + (long) (share * (STEPS - 1))));
        } catch (InterruptedIOException e) {
            throw e;
        } catch (IOException | RuntimeException | Error e) {
            Interruption.check();
            progress.stepTo(start);
            return CaseOutcome.failed(e);
        }
        progress.stepTo(start);
        Path part = WholeFile.beside(place);
        try {
            Files.createDirectory(part);
            job.write(part, measures);
            if (again && Files.exists(place)) {
                clear(place, path -> true);
                Files.delete(place);
            }
            if (!Files.exists(place)) {
                WholeFile.move(part, place);
            }
        } catch (IOException e) {
            Interruption.check();
            throw new WriteProblem(e);
        } finally {
            if (Files.exists(part)) {
                clear(part, path -> true);
                Files.delete(part);
            }
        }
        return new CaseOutcome(place, measures, null);
    }

    private void finish(ComparisonCase work, CaseOutcome outcome, ProgressBar progress) {
        outcomes.put(work, outcome);
        progress.stepBy(STEPS);
    }

    /** Where a case is kept: its name changes with all that its outcome depends on. */
    private Path place(ComparisonCase work, String identity) throws IOException {
        var estimator = Catalogue.displacementEstimators().get(work.estimator().name());
        var strain = Catalogue.strainEstimators().get(work.strain().name());
        StringBuilder text = new StringBuilder(identity);
        text.append(estimator.name()).append(Setting.all(estimator, work.estimator().text()));
        text.append(strain.name()).append(Setting.all(strain, work.strain().text()));
        text.append(plan.shown()).append(plan.qualities());
        text.append(Main.Version.text());
        text.append(
                code(
                        Catalogue.class,
                        Main.class,
                        RecordingWriter.class,
                        org.elasto.phantoms.Phantom.class,
                        estimator.getClass(),
                        strain.getClass()));
        return folder.resolve(CASES).resolve(estimator.name() + "-" + digits(text.toString()));
    }

    private static String code(Class<?>... types) throws IOException {
        StringBuilder text = new StringBuilder();
        for (Class<?> type : types) {
            text.append('\n').append(type.getName()).append(' ').append(Fingerprint.ofCode(type));
        }
        return text.toString();
    }

    private static String digits(String text) {
        return Fingerprint.of(text).substring(0, FINGERPRINT_DIGITS);
    }

    /** The outcome of a case that was done before; null if there is none. */
    private static CaseOutcome before(Path place) {
        try {
            return Files.isDirectory(place)
                    ? new CaseOutcome(
                            place, CaseMeasures.read(place.resolve(CaseOutcome.MEASURED)), null)
                    : null;
        } catch (IOException | RuntimeException e) {
            return null; // somebody changed it: it is done again
        }
    }

    /** Deletes the files of a folder, and what is in folders of it. */
    private static void clear(Path folder, java.util.function.Predicate<Path> which)
            throws IOException {
        List<Path> paths;
        try (Stream<Path> all = Files.list(folder)) {
            paths = all.filter(which).toList();
        }
        for (Path path : paths) {
            try (Stream<Path> inside = Files.walk(path)) {
                for (Path each : inside.sorted(Comparator.reverseOrder()).toList()) {
                    Files.delete(each);
                }
            }
        }
    }

    private static void writeFrame(Path file, KeptFrames frames, int shown) {
        try {
            RecordingWriter.write(file, new OneFrame(frames, shown));
        } catch (IOException e) {
            throw new WriteProblem(e);
        }
    }

    /** One frame of a source as a source of its own. */
    private record OneFrame(KeptFrames frames, int index) implements FrameSource {

        @Override
        public String name() {
            return frames.source().name();
        }

        @Override
        public ScanGeometry geometry() {
            return frames.source().geometry();
        }

        @Override
        public SampleType sampleType() {
            return frames.source().sampleType();
        }

        @Override
        public int frameCount() {
            return 1;
        }

        @Override
        public void read(int number, RfFrame into) throws IOException {
            frames.source().read(index, into);
        }

        @Override
        public void close() {}
    }
}
