package org.elasto.samples.live;

import java.awt.BasicStroke;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import javax.swing.JPanel;

/**
 * The last seconds: above, how much tissue was pressed (up) or released (down) from image to image;
 * below, how well echoes matched. Images that gave no strain have a mark on the middle line.
 */
final class MotionStrip extends JPanel {

    private static final long serialVersionUID = 1;
    private static final int LEFT = 140;

    /** Strain from image to image at either end of the upper part. */
    private static final double FULL = 0.01;

    private final transient History history;

    MotionStrip(History history) {
        this.history = history;
        setPreferredSize(new Dimension(600, 104));
        setFont(Look.PLAIN);
        getAccessibleContext().setAccessibleName("Motion and quality over the last seconds");
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setRenderingHint(
                RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
        int width = getWidth() - LEFT - 12;
        int upper = 56;
        int middle = 4 + upper / 2;
        int top = upper + 10;
        int bottom = getHeight() - 18;
        g.setColor(Look.GROUND);
        g.fillRect(0, 0, getWidth(), getHeight());
        g.setColor(Look.RAISED);
        g.fillRect(LEFT, 4, width, upper);
        g.fillRect(LEFT, top, width, bottom - top);
        g.setFont(getFont());
        g.setColor(Look.TEXT);
        g.drawString("\u2191 pressed, to 1 %", 12, 16);
        g.drawString("\u2193 released, to 1 %", 12, upper + 2);
        g.drawString("Match of echoes", 12, (top + bottom) / 2 + 5);
        g.setColor(Look.EDGE);
        g.drawLine(LEFT, middle, LEFT + width, middle);
        g.setColor(Look.QUIET);
        for (int second = 0; second <= History.SECONDS; second += 2) {
            int x = LEFT + (int) Math.round(width * (1 - second / History.SECONDS));
            String text = second == 0 ? "now" : second + " s ago";
            int at = x - g.getFontMetrics().stringWidth(text) / 2;
            at = Math.min(at, getWidth() - 12 - g.getFontMetrics().stringWidth(text));
            g.drawString(text, at, getHeight() - 4);
        }
        g.setStroke(new BasicStroke(2));
        history.read(
                (ago, strain, score, compared) -> {
                    int x = LEFT + (int) Math.round(width * (1 - ago / History.SECONDS));
                    if (x < LEFT || ago < 0) {
                        return;
                    }
                    double size = Math.max(-1, Math.min(1, strain / FULL));
                    if (!Double.isNaN(size)) {
                        g.setColor(Look.FOCUS);
                        g.drawLine(x, middle, x, middle - (int) Math.round(size * upper / 2));
                    }
                    if (!compared) {
                        g.setColor(Look.CARE);
                        g.drawLine(x - 2, middle - 2, x + 2, middle + 2);
                        g.drawLine(x - 2, middle + 2, x + 2, middle - 2);
                    }
                    if (score > 0) {
                        g.setColor(Look.GOOD);
                        int high = Math.round(score * (bottom - top - 2));
                        g.drawLine(x, bottom - 1, x, bottom - 1 - high);
                    }
                });
        g.dispose();
    }
}
