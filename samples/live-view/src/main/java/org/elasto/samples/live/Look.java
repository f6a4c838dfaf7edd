package org.elasto.samples.live;

import java.awt.Color;
import java.awt.Font;
import java.util.List;
import javax.swing.UIManager;
import javax.swing.plaf.ColorUIResource;
import javax.swing.plaf.FontUIResource;
import javax.swing.plaf.metal.DefaultMetalTheme;
import javax.swing.plaf.metal.MetalLookAndFeel;

/** Colours and fonts: dark as the pictures are, text of high contrast, focus in a bright frame. */
final class Look extends DefaultMetalTheme {

    static final Color GROUND = new Color(0x14171c);
    static final Color RAISED = new Color(0x232932);
    static final Color EDGE = new Color(0x4c5766);
    static final Color TEXT = new Color(0xeef1f4);
    static final Color QUIET = new Color(0xb4bec9);
    static final Color GOOD = new Color(0x7fd6c2);
    static final Color CARE = new Color(0xffc857);
    static final Color STOP = new Color(0xff9b85);
    static final Color FOCUS = new Color(0x8fc7ff);

    static final Font PLAIN = new Font(Font.SANS_SERIF, Font.PLAIN, 13);
    static final Font BOLD = new Font(Font.SANS_SERIF, Font.BOLD, 13);
    static final Font LARGE = new Font(Font.SANS_SERIF, Font.BOLD, 26);

    private Look() {}

    /** Sets the look for all windows made from now on. */
    static void install() {
        MetalLookAndFeel.setCurrentTheme(new Look());
        try {
            UIManager.setLookAndFeel(new MetalLookAndFeel());
        } catch (javax.swing.UnsupportedLookAndFeelException e) {
            throw new IllegalStateException(e);
        }
        List<Object> flat = List.of(0.3, 0.0, RAISED, RAISED, RAISED);
        for (String part :
                List.of(
                        "Button",
                        "CheckBox",
                        "RadioButton",
                        "ToggleButton",
                        "ScrollBar",
                        "Slider")) {
            UIManager.put(part + ".gradient", flat);
        }
        UIManager.put("Button.select", EDGE);
        UIManager.put("ToggleButton.select", EDGE);
        UIManager.put("ComboBox.background", RAISED);
        UIManager.put("TextField.background", RAISED);
        UIManager.put("ToolTip.background", RAISED);
        UIManager.put("ToolTip.foreground", TEXT);
    }

    private static ColorUIResource resource(Color colour) {
        return new ColorUIResource(colour);
    }

    @Override
    public String getName() {
        return "dark";
    }

    @Override
    protected ColorUIResource getPrimary1() {
        return resource(FOCUS);
    }

    @Override
    protected ColorUIResource getPrimary2() {
        return resource(FOCUS);
    }

    @Override
    protected ColorUIResource getPrimary3() {
        return resource(EDGE);
    }

    @Override
    protected ColorUIResource getSecondary1() {
        return resource(QUIET);
    }

    @Override
    protected ColorUIResource getSecondary2() {
        return resource(EDGE);
    }

    @Override
    protected ColorUIResource getSecondary3() {
        return resource(GROUND);
    }

    @Override
    protected ColorUIResource getBlack() {
        return resource(TEXT);
    }

    @Override
    protected ColorUIResource getWhite() {
        return resource(RAISED);
    }

    @Override
    public FontUIResource getControlTextFont() {
        return new FontUIResource(PLAIN);
    }

    @Override
    public FontUIResource getSystemTextFont() {
        return new FontUIResource(PLAIN);
    }

    @Override
    public FontUIResource getUserTextFont() {
        return new FontUIResource(PLAIN);
    }

    @Override
    public FontUIResource getMenuTextFont() {
        return new FontUIResource(PLAIN);
    }
}
