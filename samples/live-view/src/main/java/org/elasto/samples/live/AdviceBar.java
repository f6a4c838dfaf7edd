package org.elasto.samples.live;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Path2D;
import java.util.Locale;
import javax.swing.JPanel;
import org.elasto.strain.live.Advice;

/**
 * The advice, large: a sign, words, and a colour, each of which says it alone. Below it, what hides
 * the depth, if anything does.
 */
final class AdviceBar extends JPanel {

    private static final long serialVersionUID = 1;
    private static final int SIGN = 44;

    private Advice advice = Advice.STARTING;
    private String words = "Making the first frames";
    private String detail = "";

    AdviceBar() {
        setPreferredSize(new Dimension(600, 72));
        setOpaque(true);
        setFont(Look.LARGE);
        getAccessibleContext().setAccessibleName("Advice");
    }

    void show(Seen seen, boolean paused) {
        String text = paused ? "Paused" : seen.advice().text();
        String more = detail(seen);
        if (seen.advice() != advice || !text.equals(words) || !more.equals(detail)) {
            advice = seen.advice();
            words = text;
            detail = more;
            getAccessibleContext().setAccessibleDescription(words + ". " + detail);
            repaint();
        }
    }

    String words() {
        return words;
    }

    String detail() {
        return detail;
    }

    static String detail(Seen seen) {
        if (seen.advice() == Advice.NO_CONTACT) {
            return "Nothing comes back to the probe, so no strain is shown";
        }
        if (seen.endsEarly()) {
            return String.format(
                    Locale.ROOT,
                    "Nothing comes back from below about %.0f of %.0f mm, as behind bone or air:"
                            + " nothing is claimed there",
                    seen.depthReached() * 1e3,
                    seen.lastDepth() * 1e3);
        }
        if (seen.trustedShare() == 0) {
            return "No strain yet that can be trusted";
        }
        return String.format(
                Locale.ROOT,
                "%.0f %% of the picture can be trusted; the rest is hatched",
                100 * seen.trustedShare());
    }

    static Color colour(Advice advice) {
        return switch (advice) {
            case GOOD -> Look.GOOD;
            case NO_CONTACT, TOO_FAST, SLIDING_SIDEWAYS -> Look.STOP;
            case STARTING, TOO_STILL -> Look.CARE;
        };
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(
                RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
        g.setColor(Look.GROUND);
        g.fillRect(0, 0, getWidth(), getHeight());
        g.setColor(colour(advice));
        g.fillRect(0, 0, 6, getHeight());
        g.translate(20, (getHeight() - SIGN) / 2);
        g.setStroke(new BasicStroke(4, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
        g.draw(sign(advice));
        g.translate(-20, -(getHeight() - SIGN) / 2);
        g.setFont(getFont());
        g.drawString(words, 84, 34);
        g.setFont(Look.PLAIN.deriveFont(15f));
        g.setColor(Look.TEXT);
        g.drawString(detail, 84, 58);
        g.dispose();
    }

    /** A sign of strokes in a square of {@link #SIGN}: the probe above, the tissue below. */
    static Path2D sign(Advice advice) {
        Path2D.Double p = new Path2D.Double();
        switch (advice) {
            case GOOD -> line(p, 6, 24, 18, 36, 40, 8);
            case STARTING -> {
                line(p, 8, 6, 36, 6, 8, 38, 36, 38, 8, 6);
            }
            case TOO_STILL -> {
                line(p, 22, 4, 22, 40);
                line(p, 14, 12, 22, 4, 30, 12);
                line(p, 14, 32, 22, 40, 30, 32);
            }
            case TOO_FAST -> {
                line(p, 8, 4, 22, 18, 36, 4);
                line(p, 8, 15, 22, 29, 36, 15);
                line(p, 6, 40, 38, 40);
            }
            case SLIDING_SIDEWAYS -> {
                line(p, 4, 16, 40, 16);
                line(p, 32, 8, 40, 16, 32, 24);
                line(p, 12, 38, 32, 38);
            }
            case NO_CONTACT -> {
                line(p, 10, 4, 34, 4, 34, 14, 10, 14, 10, 4);
                line(p, 2, 40, 42, 40);
                line(p, 14, 22, 30, 34);
                line(p, 30, 22, 14, 34);
            }
        }
        return p;
    }

    private static void line(Path2D path, double... points) {
        path.moveTo(points[0], points[1]);
        for (int i = 2; i < points.length; i += 2) {
            path.lineTo(points[i], points[i + 1]);
        }
    }
}
