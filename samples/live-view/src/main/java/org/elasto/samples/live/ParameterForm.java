package org.elasto.samples.live;

import java.awt.GridBagConstraints;
import java.awt.GridBagLayout;
import java.awt.Insets;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.util.LinkedHashMap;
import java.util.Map;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JTextField;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.ParameterInfo;
import org.elasto.api.plugin.PluginProvider;

/**
 * A field for every parameter of a plugin's config record. While one types, the schema judges: a
 * wrong value is refused with the reason beneath its field, and nothing is applied until all is
 * right. The enter key, or leaving a field, applies.
 */
final class ParameterForm<C extends Record> extends JPanel {

    private static final long serialVersionUID = 1;
    static final int REASON_WIDTH = 225;

    private final transient ConfigSchema<C> schema;
    private final transient C defaults;
    private final transient Runnable apply;
    private final Map<String, JComponent> fields = new LinkedHashMap<>();
    private final Map<String, JLabel> reasons = new LinkedHashMap<>();
    private Map<String, String> applied;

    ParameterForm(PluginProvider<C> provider, Runnable apply) {
        super(new GridBagLayout());
        schema = provider.schema();
        defaults = provider.defaults();
        this.apply = apply;
        setOpaque(false);
        Map<String, String> texts = schema.toText(defaults);
        applied = texts;
        GridBagConstraints at = new GridBagConstraints();
        at.gridy = 0;
        at.insets = new Insets(1, 0, 1, 4);
        for (ParameterInfo parameter : schema.parameters()) {
            addRow(parameter, texts.get(parameter.name()), at);
        }
    }

    private void addRow(ParameterInfo parameter, String text, GridBagConstraints at) {
        String unit = parameter.unit().isEmpty() ? "" : " (" + parameter.unit() + ")";
        JLabel label = new JLabel(parameter.name() + unit);
        label.setFont(Look.PLAIN);
        JComponent field = field(parameter, text);
        field.setName("parameter " + parameter.name());
        field.setToolTipText(parameter.meaning() + "; " + parameter.allowed());
        field.getAccessibleContext().setAccessibleDescription(field.getToolTipText());
        label.setToolTipText(field.getToolTipText());
        label.setLabelFor(field);
        JLabel reason = new JLabel();
        reason.setName("reason " + parameter.name());
        reason.setForeground(Look.STOP);
        reason.setVisible(false);
        fields.put(parameter.name(), field);
        reasons.put(parameter.name(), reason);
        field.setMinimumSize(field.getPreferredSize());
        at.gridx = 0;
        at.weightx = 1;
        at.gridwidth = 1;
        at.anchor = GridBagConstraints.LINE_START;
        at.fill = GridBagConstraints.HORIZONTAL;
        add(label, at);
        at.gridx = 1;
        at.weightx = 0;
        add(field, at);
        at.gridy++;
        at.gridx = 0;
        at.gridwidth = 2;
        add(reason, at);
        at.gridy++;
    }

    private JComponent field(ParameterInfo parameter, String text) {
        if (!parameter.choices().isEmpty()) {
            JComboBox<String> box = new JComboBox<>(parameter.choices().toArray(new String[0]));
            box.setSelectedItem(text);
            box.addActionListener(e -> applyIfRight());
            return box;
        }
        JTextField field = new JTextField(text, 8);
        field.setCaretColor(Look.TEXT);
        field.addActionListener(e -> applyIfRight());
        field.addFocusListener(
                new FocusAdapter() {
                    @Override
                    public void focusLost(FocusEvent e) {
                        applyIfRight();
                    }
                });
        field.getDocument()
                .addDocumentListener(
                        new DocumentListener() {
                            @Override
                            public void insertUpdate(DocumentEvent e) {
                                judge();
                            }

                            @Override
                            public void removeUpdate(DocumentEvent e) {
                                judge();
                            }

                            @Override
                            public void changedUpdate(DocumentEvent e) {
                                judge();
                            }
                        });
        return field;
    }

    /** The texts in the fields, by parameter. */
    Map<String, String> values() {
        Map<String, String> values = new LinkedHashMap<>();
        fields.forEach(
                (name, field) ->
                        values.put(
                                name,
                                field instanceof JTextField text
                                        ? text.getText().trim()
                                        : String.valueOf(
                                                ((JComboBox<?>) field).getSelectedItem())));
        return values;
    }

    /** Shows beneath each field why its value is refused; true if none is. */
    private boolean judge() {
        Map<String, String> values = values();
        boolean right = true;
        for (Map.Entry<String, String> value : values.entrySet()) {
            String refusal = refusal(Map.of(value.getKey(), value.getValue()));
            show(value.getKey(), refusal);
            right &= refusal.isEmpty();
        }
        if (right) {
            // Each is right alone; the record may still refuse them together.
            String together = refusal(values);
            right = together.isEmpty();
            if (!right) {
                show(values.keySet().iterator().next(), together);
            }
        }
        return right;
    }

    private String refusal(Map<String, String> values) {
        try {
            schema.parse(defaults, values);
            return "";
        } catch (IllegalArgumentException e) {
            return e.getMessage();
        }
    }

    private void show(String name, String refusal) {
        JLabel reason = reasons.get(name);
        String text =
                refusal.isEmpty()
                        ? ""
                        : "<html><body style='width:"
                                + REASON_WIDTH
                                + "px'>\u2717 "
                                + escaped(refusal)
                                + "</body></html>";
        if (!text.equals(reason.getText())) {
            reason.setText(text);
            reason.setVisible(!text.isEmpty());
            revalidate();
        }
    }

    static String escaped(String text) {
        return text.replace("&", "&amp;").replace("<", "&lt;");
    }

    private void applyIfRight() {
        Map<String, String> values = values();
        if (judge() && !values.equals(applied)) {
            applied = values;
            apply.run();
        }
    }
}
