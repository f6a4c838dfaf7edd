package org.elasto.samples.live;

import java.awt.BorderLayout;
import java.util.Map;
import java.util.function.BiConsumer;
import javax.swing.BorderFactory;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.PluginProvider;

/** A choice of one plugin of a catalogue by name, with its parameters below. */
final class PluginChooser extends JPanel {

    private static final long serialVersionUID = 1;

    private final transient Catalogue<? extends PluginProvider<?>> catalogue;
    private final transient BiConsumer<String, Map<String, String>> chosen;
    private final JComboBox<String> box;
    private final JPanel below = new JPanel(new BorderLayout());
    private final JLabel refusal = new JLabel();
    private ParameterForm<?> form;

    /** Tells of every choice of name and parameters whose texts are right. */
    PluginChooser(
            Catalogue<? extends PluginProvider<?>> catalogue,
            String label,
            char mnemonic,
            String initial,
            BiConsumer<String, Map<String, String>> chosen) {
        super(new BorderLayout(0, 3));
        this.catalogue = catalogue;
        this.chosen = chosen;
        setOpaque(false);
        below.setOpaque(false);
        box = new JComboBox<>(catalogue.names().toArray(new String[0]));
        box.setName(catalogue.contract());
        box.setSelectedItem(initial);
        JLabel name = new JLabel(label);
        name.setFont(Look.BOLD);
        name.setDisplayedMnemonic(mnemonic);
        name.setLabelFor(box);
        JPanel top = new JPanel(new BorderLayout(0, 2));
        top.setOpaque(false);
        top.add(name, BorderLayout.PAGE_START);
        top.add(box, BorderLayout.CENTER);
        refusal.setForeground(Look.STOP);
        refusal.setName("refusal " + catalogue.contract());
        refusal.setVisible(false);
        add(top, BorderLayout.PAGE_START);
        add(below, BorderLayout.CENTER);
        add(refusal, BorderLayout.PAGE_END);
        setBorder(BorderFactory.createEmptyBorder(6, 0, 2, 0));
        showForm();
        box.addActionListener(
                e -> {
                    showForm();
                    tell();
                });
    }

    private void showForm() {
        form = form(catalogue.get((String) box.getSelectedItem()));
        box.setToolTipText(catalogue.get((String) box.getSelectedItem()).summary());
        below.removeAll();
        below.add(form, BorderLayout.CENTER);
        revalidate();
        repaint();
    }

    private <C extends Record> ParameterForm<C> form(PluginProvider<C> provider) {
        return new ParameterForm<>(provider, this::tell);
    }

    private void tell() {
        chosen.accept((String) box.getSelectedItem(), form.values());
    }

    /** Shows why the choice as a whole was refused; empty if it was not. */
    void refuse(String reason) {
        refusal.setText(
                reason.isEmpty()
                        ? ""
                        : "<html><body style='width:"
                                + ParameterForm.REASON_WIDTH
                                + "px'>\u2717 "
                                + ParameterForm.escaped(reason)
                                + "</body></html>");
        refusal.setVisible(!reason.isEmpty());
        revalidate();
    }
}
