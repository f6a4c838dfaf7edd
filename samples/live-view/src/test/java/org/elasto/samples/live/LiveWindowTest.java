package org.elasto.samples.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.awt.Component;
import java.awt.Container;
import java.awt.GraphicsEnvironment;
import java.awt.KeyboardFocusManager;
import java.awt.Point;
import java.awt.Rectangle;
import java.awt.Robot;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.awt.event.WindowEvent;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.FutureTask;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JSlider;
import javax.swing.JTextField;
import javax.swing.SwingUtilities;
import org.elasto.strain.live.Advice;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/**
 * Drives the window by mouse and keyboard. Needs a screen, such as Xvfb's; without one it is
 * skipped. Leaves pictures of the screen in {@code target/screenshots}.
 */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
@Timeout(240)
class LiveWindowTest {

    private static final Path SHOTS = Path.of("target", "screenshots");

    @TempDir static Path folder;
    private static LiveWindow window;
    private static Robot robot;
    private static Set<String> threadsBefore;

    @BeforeAll
    static void open() throws Exception {
        assumeFalse(
                GraphicsEnvironment.isHeadless(),
                "there is no screen; run the build under xvfb-run to test the live view's window");
        threadsBefore = ourThreads();
        robot = new Robot();
        robot.setAutoDelay(20);
        window =
                LiveView.open(
                        Options.parse(
                                "--estimator=coarse-to-fine-phase",
                                "--phantom=lines=56,samples=1400"),
                        folder);
        await("a good picture", () -> seen() != null && seen().advice() == Advice.GOOD);
    }

    @AfterAll
    static void close() throws Exception {
        if (window != null) {
            SwingUtilities.invokeAndWait(window::close);
            window.awaitClosed();
        }
    }

    @BeforeEach
    void focusThePicture() throws Exception {
        onEventThread(() -> window.view().requestFocusInWindow());
        await("focus on the picture", () -> onEventThread(() -> window.view().isFocusOwner()));
    }

    // ---------------------------------------------------------------- helpers

    private static Seen seen() {
        return window.exchange().seen();
    }

    private static void await(String what, Callable<Boolean> condition) throws Exception {
        long deadline = System.nanoTime() + 120_000_000_000L;
        while (!condition.call()) {
            assertTrue(System.nanoTime() < deadline, "waited in vain for " + what);
            Thread.sleep(20);
        }
    }

    private static <T> T onEventThread(Callable<T> task) throws Exception {
        FutureTask<T> future = new FutureTask<>(task);
        SwingUtilities.invokeAndWait(future);
        return future.get();
    }

    private static void press(int... keys) {
        for (int key : keys) {
            robot.keyPress(key);
        }
        for (int i = keys.length - 1; i >= 0; i--) {
            robot.keyRelease(keys[i]);
        }
    }

    private static void shoot(String name) throws Exception {
        await(
                "the event thread",
                () -> onEventThread(() -> true)); // what was asked for has been painted
        Files.createDirectories(SHOTS);
        Rectangle place = onEventThread(() -> window.frame().getBounds());
        ImageIO.write(
                robot.createScreenCapture(place), "png", SHOTS.resolve(name + ".png").toFile());
    }

    private static <C extends Component> C find(Class<C> type, String name) throws Exception {
        List<Component> found = new ArrayList<>();
        onEventThread(
                () -> {
                    collect(window.frame().getContentPane(), found);
                    return null;
                });
        return found.stream()
                .filter(c -> type.isInstance(c) && name.equals(c.getName()))
                .map(type::cast)
                .findFirst()
                .orElseThrow(() -> new AssertionError("there is no " + name));
    }

    private static void collect(Container container, List<Component> into) {
        for (Component component : container.getComponents()) {
            into.add(component);
            if (component instanceof Container inner) {
                collect(inner, into);
            }
        }
    }

    private static Set<String> ourThreads() {
        Set<String> names = new LinkedHashSet<>();
        for (Thread thread : Thread.getAllStackTraces().keySet()) {
            String name = thread.getName();
            if (Stream.of("frames ahead", "player", "pictures", "control", "ending", "elasto")
                    .anyMatch(name::startsWith)) {
                names.add(name);
            }
        }
        return names;
    }

    // ---------------------------------------------------------------- tests

    @Test
    @Order(1)
    void theWindowSaysWhatTheHandDoesAndCarriesTheCautions() throws Exception {
        assertEquals(Advice.GOOD.text(), onEventThread(() -> window.advice().words()));
        String cautions = find(JLabel.class, "cautions").getText();
        assertTrue(
                cautions.contains("Not a medical device") && cautions.contains("no diagnosis"),
                cautions);
        shoot("pressing");
    }

    @Test
    @Order(2)
    void liftingTheProbeBlanksTheStrainAndSaysSo() throws Exception {
        press(KeyEvent.VK_ALT, KeyEvent.VK_L);
        await("no contact", () -> seen().advice() == Advice.NO_CONTACT);
        assertEquals(0.0, seen().trustedShare());
        await(
                "the words",
                () -> onEventThread(() -> window.advice().words()).startsWith("No contact"));
        shoot("lifted");
        press(KeyEvent.VK_ALT, KeyEvent.VK_L);
        await("contact again", () -> seen().advice() == Advice.GOOD);
    }

    @Test
    @Order(3)
    void pausedItStandsStillAndStepsFrameByFrame() throws Exception {
        press(KeyEvent.VK_ALT, KeyEvent.VK_P);
        await("the pause", () -> window.player().isPaused());
        Thread.sleep(100); // whatever was under way
        long played = window.player().played();
        await("the word", () -> "Paused".equals(onEventThread(() -> window.advice().words())));
        assertEquals(played, window.player().played());
        press(KeyEvent.VK_ALT, KeyEvent.VK_T);
        await("the step", () -> window.player().played() == played + 1);
        press(KeyEvent.VK_ALT, KeyEvent.VK_P);
        await("going on", () -> window.player().played() > played + 3);
    }

    @Test
    @Order(4)
    void theTabKeyComesRoundThroughEverything() throws Exception {
        Set<String> visited = new LinkedHashSet<>();
        Component start = window.view();
        Component owner = start;
        for (int i = 0; i < 60; i++) {
            press(KeyEvent.VK_TAB);
            Component before = owner;
            await("the focus to move", () -> focusOwner() != null && focusOwner() != before);
            owner = focusOwner();
            visited.add(String.valueOf(owner.getName()));
            if (owner == start) {
                break;
            }
        }
        assertEquals(start, owner, "came round, by way of " + visited);
        for (String name :
                List.of(
                        "Pause",
                        "Lift the probe",
                        "Save picture",
                        "source",
                        "half-life",
                        "displacement estimator",
                        "strain estimator",
                        "parameter window-length")) {
            assertTrue(visited.contains(name), name + " is not among " + visited);
        }
    }

    private static Component focusOwner() throws Exception {
        return onEventThread(
                () -> KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner());
    }

    @Test
    @Order(5)
    void aWrongParameterIsRefusedBesideItsField() throws Exception {
        JTextField field = find(JTextField.class, "parameter window-length");
        String right = onEventThread(field::getText);
        onEventThread(
                () -> {
                    field.requestFocusInWindow();
                    field.selectAll();
                    return null;
                });
        await("focus on the field", () -> onEventThread(field::isFocusOwner));
        press(KeyEvent.VK_7);
        JLabel reason = find(JLabel.class, "reason window-length");
        await("the reason", () -> onEventThread(reason::isVisible));
        String said = onEventThread(reason::getText);
        assertTrue(said.contains("window-length") && said.contains("it must be"), said);
        shoot("refused");
        onEventThread(
                () -> {
                    field.setText(right);
                    return null;
                });
        await("no reason", () -> !onEventThread(reason::isVisible));
    }

    @Test
    @Order(6)
    void regionsAreDrawnByTheMouseAndCompared() throws Exception {
        drag(-6.5, 17.5, -1.5, 22.5);
        press(KeyEvent.VK_ALT, KeyEvent.VK_2);
        drag(2.5, 17.5, 7.5, 22.5);
        await("the ratio", () -> seen().comparison() != null && seen().comparison().ratio() > 0);
        double ratio = seen().comparison().ratio();
        assertTrue(ratio > 0.2 && ratio < 0.8, "ratio " + ratio);
        String text = onEventThread(find(JLabel.class, "ratio")::getText);
        assertTrue(text.contains("\u00b1"), text);
        double before = window.exchange().region(1).centreX();
        press(KeyEvent.VK_RIGHT);
        await("the key", () -> window.exchange().region(1).centreX() > before);
        shoot("regions");
    }

    /** Drags over the strain panel, in millimetres. */
    private static void drag(double x1, double z1, double x2, double z2) throws Exception {
        Point from = onEventThread(() -> window.view().onScreen(x1, z1));
        Point to = onEventThread(() -> window.view().onScreen(x2, z2));
        robot.mouseMove(from.x, from.y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        robot.mouseMove((from.x + to.x) / 2, (from.y + to.y) / 2);
        robot.mouseMove(to.x, to.y);
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        robot.waitForIdle();
    }

    @Test
    @Order(7)
    void theHalfLifeFollowsTheSlider() throws Exception {
        JSlider slider = find(JSlider.class, "half-life");
        int before = onEventThread(slider::getValue);
        press(KeyEvent.VK_ALT, KeyEvent.VK_H);
        await("focus on the slider", () -> onEventThread(slider::isFocusOwner));
        press(KeyEvent.VK_RIGHT);
        await("the slider", () -> onEventThread(slider::getValue) == before + 1);
    }

    @Test
    @Order(8)
    void anotherEstimatorIsChosenByName() throws Exception {
        JComboBox<?> box = find(JComboBox.class, "displacement estimator");
        long played = window.player().played();
        onEventThread(
                () -> {
                    box.setSelectedItem("phase-zero");
                    return null;
                });
        await("the estimator", () -> onEventThread(window::said).contains("phase-zero"));
        assertEquals(
                2, new org.elasto.samples.own.PhaseZeroProvider().schema().parameters().size());
        find(JTextField.class, "parameter search-range");
        await("new pictures", () -> seen().frame() > played && seen().trustedShare() > 0.3);
        shoot("own-estimator");
    }

    @Test
    @Order(9)
    void aSavedPictureCarriesTheCautions() throws Exception {
        press(KeyEvent.VK_ALT, KeyEvent.VK_S);
        await("the file", () -> onEventThread(window::said).startsWith("Saved"));
        List<Path> files;
        try (Stream<Path> all = Files.list(folder)) {
            files = all.toList();
        }
        assertEquals(1, files.size());
        String bytes = Files.readString(files.get(0), StandardCharsets.ISO_8859_1);
        assertTrue(bytes.contains("Not a medical device"), "cautions in the file");
        assertTrue(ImageIO.read(files.get(0).toFile()).getWidth() > 300);
    }

    @Test
    @Order(10)
    void boneIsSpokenOf() throws Exception {
        JComboBox<?> box = find(JComboBox.class, "source");
        onEventThread(
                () -> {
                    box.setSelectedItem("soft-inclusion-above-bone");
                    return null;
                });
        // The small scan of these tests ends above the bone of the scene, so only that it plays.
        await("the scene", () -> onEventThread(window::said).contains("soft-inclusion"));
        JCheckBox lift = find(JCheckBox.class, "Lift the probe");
        await("that the probe can be lifted", () -> onEventThread(lift::isEnabled));
    }

    @Test
    @Order(11)
    void closingEndsEveryThread() throws Exception {
        onEventThread(
                () -> {
                    window.frame()
                            .dispatchEvent(
                                    new WindowEvent(window.frame(), WindowEvent.WINDOW_CLOSING));
                    return null;
                });
        window.awaitClosed();
        await(
                "the threads to end",
                () -> {
                    Set<String> left = ourThreads();
                    left.removeAll(threadsBefore);
                    left.remove("ending");
                    return left.isEmpty();
                });
        assertFalse(onEventThread(() -> window.frame().isDisplayable()));
        window = null;
    }
}
