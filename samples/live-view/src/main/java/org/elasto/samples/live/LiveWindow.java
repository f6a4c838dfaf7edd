package org.elasto.samples.live;

import java.awt.BorderLayout;
import java.awt.Dimension;
import java.awt.event.ComponentAdapter;
import java.awt.event.ComponentEvent;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.awt.event.WindowAdapter;
import java.awt.event.WindowEvent;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import javax.swing.AbstractButton;
import javax.swing.BorderFactory;
import javax.swing.Box;
import javax.swing.BoxLayout;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JFrame;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JRadioButton;
import javax.swing.JScrollPane;
import javax.swing.JSlider;
import javax.swing.ScrollPaneConstants;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import org.elasto.api.plugin.Catalogue;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.picture.Cautions;

/** The window. All methods but {@link #awaitClosed} belong to the event thread. */
final class LiveWindow {

    private static final int SIDE = 350;
    private static final int SLIDER_STEPS_PER_SECOND = 10;

    private final JFrame frame = new JFrame("elasto live view");
    private final History history = new History();
    private final Player player = new Player();
    private final Exchange exchange;
    private final Controller controller;
    private final PictureView view;
    private final AdviceBar advice = new AdviceBar();
    private final MotionStrip strip = new MotionStrip(history);
    private final JLabel said = new JLabel(" ");
    private final JLabel rates = new JLabel(" ");
    private final JCheckBox pause = new JCheckBox("Pause");
    private final JButton step = new JButton("Step");
    private final JCheckBox lift = new JCheckBox("Lift the probe");
    private final JLabel[] regionTexts = {new JLabel(" "), new JLabel(" ")};
    private final JLabel ratio = new JLabel(" ");
    private final AtomicBoolean pending = new AtomicBoolean();
    private final CountDownLatch closed = new CountDownLatch(1);
    private final Timer fit;
    private final Timer second;
    private Choice choice;
    private long lastDrawn;
    private LiveCounters last;

    LiveWindow(Options options, Path folder) {
        choice = options.choice();
        exchange = new Exchange(history, this::newPicture);
        view = new PictureView(exchange);
        controller =
                new Controller(
                        player,
                        exchange,
                        choice,
                        options.sourceParameters(),
                        folder,
                        text -> SwingUtilities.invokeLater(() -> said.setText(text)));
        fit = new Timer(300, e -> fit());
        fit.setRepeats(false);
        second = new Timer(1000, e -> everySecond());
        build(options);
    }

    private void build(Options options) {
        JPanel middle = new JPanel(new BorderLayout());
        middle.add(advice, BorderLayout.PAGE_START);
        middle.add(view, BorderLayout.CENTER);
        middle.add(strip, BorderLayout.PAGE_END);
        JPanel all = new JPanel(new BorderLayout());
        all.add(middle, BorderLayout.CENTER);
        all.add(side(options), BorderLayout.LINE_END);
        all.add(foot(), BorderLayout.PAGE_END);
        frame.setContentPane(all);
        frame.setDefaultCloseOperation(JFrame.DO_NOTHING_ON_CLOSE);
        frame.addWindowListener(
                new WindowAdapter() {
                    @Override
                    public void windowClosing(WindowEvent e) {
                        close();
                    }
                });
        view.addComponentListener(
                new ComponentAdapter() {
                    @Override
                    public void componentResized(ComponentEvent e) {
                        fit.restart();
                    }
                });
        frame.setSize(options.width(), options.height());
        frame.setVisible(true);
        fit();
        open(options.source());
        second.start();
        view.requestFocusInWindow();
    }

    private JComponent foot() {
        JLabel cautions = new JLabel("<html>" + ParameterForm.escaped(Cautions.TEXT) + "</html>");
        cautions.setName("cautions");
        cautions.setFont(Look.PLAIN.deriveFont(12f));
        cautions.setForeground(Look.TEXT);
        JPanel line = new JPanel(new BorderLayout(20, 0));
        said.setFont(Look.PLAIN);
        said.setForeground(Look.QUIET);
        rates.setFont(Look.PLAIN);
        rates.setForeground(Look.QUIET);
        line.add(said, BorderLayout.CENTER);
        line.add(rates, BorderLayout.LINE_END);
        JPanel foot = new JPanel(new BorderLayout(0, 2));
        foot.setBorder(BorderFactory.createEmptyBorder(2, 12, 4, 12));
        foot.add(line, BorderLayout.PAGE_START);
        foot.add(cautions, BorderLayout.CENTER);
        return foot;
    }

    private JComponent side(Options options) {
        JPanel side = new Column();
        side.setLayout(new BoxLayout(side, BoxLayout.PAGE_AXIS));
        side.setBorder(BorderFactory.createEmptyBorder(8, 10, 8, 10));
        add(side, buttons());
        add(side, source(options.source()));
        add(side, halfLife());
        add(side, regions());
        add(side, tracker());
        add(side, differentiator());
        side.add(Box.createVerticalGlue());
        JScrollPane scroll =
                new JScrollPane(
                        side,
                        ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED,
                        ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
        scroll.setBorder(BorderFactory.createMatteBorder(0, 1, 0, 0, Look.EDGE));
        scroll.setPreferredSize(new Dimension(SIDE, 100));
        scroll.getVerticalScrollBar().setUnitIncrement(16);
        return scroll;
    }

    /** As wide as the room there is, and brings into view what has the focus. */
    private static final class Column extends JPanel implements javax.swing.Scrollable {
        private static final long serialVersionUID = 1;

        @Override
        public Dimension getPreferredScrollableViewportSize() {
            return getPreferredSize();
        }

        @Override
        public int getScrollableUnitIncrement(java.awt.Rectangle r, int orientation, int d) {
            return 16;
        }

        @Override
        public int getScrollableBlockIncrement(java.awt.Rectangle r, int orientation, int d) {
            return r.height;
        }

        @Override
        public boolean getScrollableTracksViewportWidth() {
            return true;
        }

        @Override
        public boolean getScrollableTracksViewportHeight() {
            return false;
        }
    }

    private static void add(JPanel side, JComponent part) {
        part.setAlignmentX(0);
        part.setMaximumSize(new Dimension(Integer.MAX_VALUE, part.getPreferredSize().height * 20));
        side.add(part);
    }

    private JComponent buttons() {
        JPanel panel = new JPanel(new java.awt.GridLayout(2, 2, 6, 4));
        JButton save = new JButton("Save picture");
        mnemonic(pause, 'P');
        mnemonic(step, 'T');
        mnemonic(lift, 'L');
        mnemonic(save, 'S');
        step.setEnabled(false);
        pause.addActionListener(
                e -> {
                    player.setPaused(pause.isSelected());
                    step.setEnabled(pause.isSelected());
                    newPicture();
                });
        step.addActionListener(e -> player.step());
        lift.addActionListener(e -> player.setLifted(lift.isSelected()));
        save.addActionListener(e -> controller.save());
        panel.add(pause);
        panel.add(step);
        panel.add(lift);
        panel.add(save);
        return panel;
    }

    private static void mnemonic(AbstractButton button, char key) {
        button.setMnemonic(key);
        button.setName(button.getText());
        button.setFont(Look.PLAIN);
        button.setToolTipText("Alt+" + key);
        bringIntoView(button);
    }

    private static void bringIntoView(JComponent part) {
        part.addFocusListener(
                new FocusAdapter() {
                    @Override
                    public void focusGained(FocusEvent e) {
                        part.scrollRectToVisible(
                                new java.awt.Rectangle(part.getWidth(), part.getHeight()));
                    }
                });
    }

    private JComponent source(String initial) {
        Set<String> names = new LinkedHashSet<>();
        names.add(initial);
        names.addAll(Feed.SCENES);
        JComboBox<String> box = new JComboBox<>(names.toArray(new String[0]));
        box.setName("source");
        box.addActionListener(e -> open((String) box.getSelectedItem()));
        return labelled("Frames from", 'F', box);
    }

    private static JComponent labelled(String text, char mnemonic, JComponent part) {
        JLabel label = new JLabel(text);
        label.setFont(Look.BOLD);
        label.setDisplayedMnemonic(mnemonic);
        label.setLabelFor(part);
        bringIntoView(part);
        JPanel panel = new JPanel(new BorderLayout(0, 2));
        panel.setBorder(BorderFactory.createEmptyBorder(6, 0, 2, 0));
        panel.add(label, BorderLayout.PAGE_START);
        panel.add(part, BorderLayout.CENTER);
        return panel;
    }

    private JComponent halfLife() {
        int initial = (int) Math.round(choice.halfLife() * SLIDER_STEPS_PER_SECOND);
        JSlider slider = new JSlider(0, 3 * SLIDER_STEPS_PER_SECOND, Math.min(30, initial));
        slider.setName("half-life");
        JPanel panel = (JPanel) labelled("", 'H', slider);
        JLabel label = (JLabel) panel.getComponent(0);
        Runnable text =
                () -> {
                    double value = (double) slider.getValue() / SLIDER_STEPS_PER_SECOND;
                    label.setText(
                            value == 0
                                    ? "Half-life of the average: none"
                                    : String.format(
                                            Locale.ROOT,
                                            "Half-life of the average: %.1f s",
                                            value));
                    label.setDisplayedMnemonic('H');
                };
        text.run();
        slider.addChangeListener(
                e -> {
                    text.run();
                    double value = (double) slider.getValue() / SLIDER_STEPS_PER_SECOND;
                    choice = choice.withHalfLife(value);
                    controller.halfLife(value);
                });
        return panel;
    }

    private JComponent regions() {
        JPanel panel = new JPanel();
        panel.setLayout(new BoxLayout(panel, BoxLayout.PAGE_AXIS));
        panel.setBorder(BorderFactory.createEmptyBorder(6, 0, 2, 0));
        JLabel title = new JLabel("Relative strain of drawn regions");
        title.setFont(Look.BOLD);
        panel.add(title);
        ButtonGroup group = new ButtonGroup();
        String[] names = {"Region 1", "Region 2"};
        for (int i = 0; i < Exchange.REGIONS; i++) {
            int number = i;
            JRadioButton button = new JRadioButton(names[i]);
            mnemonic(button, (char) ('1' + i));
            button.setToolTipText(
                    "Alt+" + (i + 1) + "; arrow keys move it, with shift stretch, Delete removes");
            button.setSelected(i == 0);
            button.addActionListener(
                    e -> {
                        view.select(number);
                        view.requestFocusInWindow();
                    });
            group.add(button);
            JPanel row = new JPanel(new BorderLayout(6, 0));
            row.add(button, BorderLayout.LINE_START);
            row.add(regionTexts[i], BorderLayout.CENTER);
            regionTexts[i].setName("region " + (i + 1));
            regionTexts[i].setFont(Look.PLAIN);
            row.setAlignmentX(0);
            panel.add(row);
        }
        ratio.setName("ratio");
        ratio.setFont(Look.BOLD);
        panel.add(ratio);
        return panel;
    }

    private JComponent tracker() {
        PluginChooser[] made = new PluginChooser[1];
        made[0] =
                new PluginChooser(
                        Catalogue.displacementEstimators(),
                        "Displacement estimator",
                        'D',
                        choice.tracker(),
                        (name, parameters) -> {
                            choice = choice.withTracker(name, parameters);
                            controller.choose(choice, refuses(made[0]));
                        });
        return made[0];
    }

    private JComponent differentiator() {
        PluginChooser[] made = new PluginChooser[1];
        made[0] =
                new PluginChooser(
                        Catalogue.strainEstimators(),
                        "Strain estimator",
                        'E',
                        choice.differentiator(),
                        (name, parameters) -> {
                            choice = choice.withDifferentiator(name, parameters);
                            controller.choose(choice, refuses(made[0]));
                        });
        return made[0];
    }

    private static java.util.function.Consumer<String> refuses(PluginChooser chooser) {
        return reason -> SwingUtilities.invokeLater(() -> chooser.refuse(reason));
    }

    private void open(String location) {
        lift.setSelected(false);
        player.setLifted(false);
        controller.open(
                location, canLift -> SwingUtilities.invokeLater(() -> lift.setEnabled(canLift)));
    }

    private void fit() {
        double scale = view.screenScale();
        controller.fit(
                (int) (view.getWidth() * scale),
                (int) (view.getHeight() * scale),
                Math.max(1, Math.min(8, (int) Math.round(scale))));
    }

    /** Called by the exchange's thread, and by others that want the window drawn anew. */
    private void newPicture() {
        if (pending.compareAndSet(false, true)) {
            SwingUtilities.invokeLater(this::showPicture);
        }
    }

    private void showPicture() {
        pending.set(false);
        Seen seen = exchange.seen();
        if (seen == null) {
            return;
        }
        advice.show(seen, player.isPaused());
        for (int i = 0; i < Exchange.REGIONS; i++) {
            if (!seen.regions()[i].equals(regionTexts[i].getText())) {
                regionTexts[i].setText(seen.regions()[i]);
            }
        }
        String text = ratioText(seen.comparison());
        if (!text.equals(ratio.getText())) {
            ratio.setText(text);
        }
        view.repaint();
        strip.repaint();
    }

    private static String ratioText(RegionComparison comparison) {
        if (comparison == null || Double.isNaN(comparison.ratio())) {
            return "Strain ratio 1 : 2 not known";
        }
        return String.format(
                Locale.ROOT,
                "Strain ratio 1 : 2 = %.2f \u00b1 %.2f",
                comparison.ratio(),
                comparison.ratioDeviation());
    }

    private void everySecond() {
        LiveCounters now = controller.counters();
        long drawn = view.drawnCount();
        if (now != null) {
            boolean same = last != null && now.framesIn() >= last.framesIn();
            rates.setText(
                    String.format(
                            Locale.ROOT,
                            "%d frames/s in, %d shown, %d dropped",
                            now.framesIn() - (same ? last.framesIn() : 0),
                            drawn - lastDrawn,
                            now.dropped() - (same ? last.dropped() : 0)));
        }
        last = now;
        lastDrawn = drawn;
    }

    JFrame frame() {
        return frame;
    }

    AdviceBar advice() {
        return advice;
    }

    Exchange exchange() {
        return exchange;
    }

    PictureView view() {
        return view;
    }

    String said() {
        return said.getText();
    }

    Player player() {
        return player;
    }

    Controller controller() {
        return controller;
    }

    /** Closes the window at once and ends all threads; they are waited for elsewhere. */
    void close() {
        if (!frame.isDisplayable()) {
            return;
        }
        fit.stop();
        second.stop();
        frame.dispose();
        Thread ending =
                new Thread(
                        () -> {
                            controller.close();
                            player.close();
                            exchange.close();
                            closed.countDown();
                        },
                        "ending");
        ending.start();
    }

    /** Waits until the window is closed and its threads have ended. */
    void awaitClosed() throws InterruptedException {
        closed.await();
    }
}
