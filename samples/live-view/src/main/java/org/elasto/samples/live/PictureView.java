package org.elasto.samples.live;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.Point;
import java.awt.RenderingHints;
import java.awt.event.ActionEvent;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.awt.geom.AffineTransform;
import java.awt.geom.Ellipse2D;
import javax.swing.AbstractAction;
import javax.swing.JPanel;
import javax.swing.KeyStroke;
import org.elasto.strain.measure.EllipseRegion;
import org.elasto.strain.measure.Region;
import org.elasto.strain.picture.PictureScale;

/**
 * The session's picture, pixel for pixel on the screen, with the regions over both panels. Regions
 * are drawn with the mouse, or moved by the arrow keys and stretched by these with shift.
 */
final class PictureView extends JPanel {

    private static final long serialVersionUID = 1;
    private static final Color[] COLOURS = {new Color(0xff7fd1), new Color(0x66d9ff)};
    private static final float[][] DASHES = {null, {7, 4}};
    private static final double STEP = 0.5e-3;
    private static final double LEAST = 0.5e-3;

    private final transient Exchange exchange;
    private int selected;
    private transient Point from;
    private long drawn;
    private long drawnCount;

    // Where the picture lies, in the component's own units.
    private double left;
    private double top;
    private double unitsPerPixel = 1;

    PictureView(Exchange exchange) {
        this.exchange = exchange;
        setPreferredSize(new Dimension(900, 540));
        setFocusable(true);
        getAccessibleContext().setAccessibleName("Echo and strain picture");
        MouseAdapter mouse =
                new MouseAdapter() {
                    @Override
                    public void mousePressed(MouseEvent e) {
                        requestFocusInWindow();
                        from = e.getPoint();
                    }

                    @Override
                    public void mouseDragged(MouseEvent e) {
                        stretch(from, e.getPoint());
                    }
                };
        addMouseListener(mouse);
        addMouseMotionListener(mouse);
        addFocusListener(
                new FocusAdapter() {
                    @Override
                    public void focusGained(FocusEvent e) {
                        repaint();
                    }

                    @Override
                    public void focusLost(FocusEvent e) {
                        repaint();
                    }
                });
        key("LEFT", -STEP, 0, 0, 0);
        key("RIGHT", STEP, 0, 0, 0);
        key("UP", 0, -STEP, 0, 0);
        key("DOWN", 0, STEP, 0, 0);
        key("shift LEFT", 0, 0, -STEP, 0);
        key("shift RIGHT", 0, 0, STEP, 0);
        key("shift UP", 0, 0, 0, -STEP);
        key("shift DOWN", 0, 0, 0, STEP);
        bind("DELETE", () -> exchange.setRegion(selected, null));
    }

    private void key(String stroke, double dx, double dz, double wider, double deeper) {
        bind(stroke, () -> change(dx, dz, wider, deeper));
    }

    private void bind(String stroke, Runnable action) {
        getInputMap().put(KeyStroke.getKeyStroke(stroke), stroke);
        getActionMap()
                .put(
                        stroke,
                        new AbstractAction() {
                            private static final long serialVersionUID = 1;

                            @Override
                            public void actionPerformed(ActionEvent e) {
                                action.run();
                                repaint();
                            }
                        });
    }

    /** Which region mouse and keys change, from 0. */
    void select(int region) {
        selected = region;
    }

    /** Pictures drawn so far, each counted once. */
    long drawnCount() {
        return drawnCount;
    }

    private void change(double dx, double dz, double wider, double deeper) {
        Seen seen = exchange.seen();
        if (seen == null) {
            return;
        }
        Region region = exchange.region(selected);
        EllipseRegion old =
                region instanceof EllipseRegion ellipse
                        ? ellipse
                        : new EllipseRegion(0, seen.lastDepth() / 2, 3e-3, 3e-3, 0);
        exchange.setRegion(
                selected,
                new EllipseRegion(
                        old.x() + dx,
                        old.z() + dz,
                        Math.max(LEAST, old.halfWidth() + wider),
                        Math.max(LEAST, old.halfDepth() + deeper),
                        0));
    }

    /** Makes the selected region an ellipse that fills the rectangle between two points. */
    private void stretch(Point a, Point b) {
        Seen seen = exchange.seen();
        if (seen == null || a == null) {
            return;
        }
        PictureScale scale =
                column(a) >= seen.strainScale().left() - 4 ? seen.strainScale() : seen.echoScale();
        double x1 = scale.xMillimetres(column(a)) / 1e3;
        double x2 = scale.xMillimetres(column(b)) / 1e3;
        double z1 = scale.zMillimetres(row(a)) / 1e3;
        double z2 = scale.zMillimetres(row(b)) / 1e3;
        exchange.setRegion(
                selected,
                new EllipseRegion(
                        (x1 + x2) / 2,
                        (z1 + z2) / 2,
                        Math.max(LEAST, Math.abs(x2 - x1) / 2),
                        Math.max(LEAST, Math.abs(z2 - z1) / 2),
                        0));
        repaint();
    }

    private double column(Point p) {
        return (p.x - left) / unitsPerPixel;
    }

    private double row(Point p) {
        return (p.y - top) / unitsPerPixel;
    }

    /** Where on the screen a place of the strain panel is. */
    Point onScreen(double xMillimetres, double zMillimetres) {
        PictureScale scale = exchange.seen().strainScale();
        Point corner = getLocationOnScreen();
        return new Point(
                corner.x + (int) Math.round(x(scale, xMillimetres / 1e3)),
                corner.y + (int) Math.round(y(scale, zMillimetres / 1e3)));
    }

    /** Pixels of the screen that a unit of the component takes. */
    double screenScale() {
        return getGraphicsConfiguration() == null
                ? 1
                : getGraphicsConfiguration().getDefaultTransform().getScaleX();
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setColor(Look.GROUND);
        g.fillRect(0, 0, getWidth(), getHeight());
        int[] size = exchange.size();
        if (size != null) {
            drawPicture(g, size[0], size[1]);
            drawRegions(g);
        }
        if (isFocusOwner()) {
            g.setColor(Look.FOCUS);
            g.setStroke(new BasicStroke(2));
            g.drawRect(1, 1, getWidth() - 3, getHeight() - 3);
        }
        g.dispose();
    }

    private void drawPicture(Graphics2D g, int width, int height) {
        AffineTransform before = g.getTransform();
        double screen = before.getScaleX();
        double room = Math.min(getWidth() * screen / width, getHeight() * screen / height);
        double shrink = Math.min(1, room);
        unitsPerPixel = shrink / screen;
        left = Math.max(0, Math.floor(getWidth() - width * unitsPerPixel) / 2);
        top = 0;
        g.scale(1 / screen, 1 / screen);
        if (shrink < 1) {
            g.setRenderingHint(
                    RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        }
        long number =
                exchange.draw(
                        g,
                        (int) Math.round(left * screen),
                        0,
                        (int) Math.round(width * shrink),
                        (int) Math.round(height * shrink));
        if (number != drawn) {
            drawn = number;
            drawnCount++;
        }
        g.setTransform(before);
    }

    private void drawRegions(Graphics2D g) {
        Seen seen = exchange.seen();
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setFont(Look.BOLD);
        for (int i = 0; i < Exchange.REGIONS; i++) {
            if (!(exchange.region(i) instanceof EllipseRegion region)) {
                continue;
            }
            for (PictureScale scale : new PictureScale[] {seen.echoScale(), seen.strainScale()}) {
                double x1 = x(scale, region.x() - region.halfWidth());
                double x2 = x(scale, region.x() + region.halfWidth());
                double y1 = y(scale, region.z() - region.halfDepth());
                double y2 = y(scale, region.z() + region.halfDepth());
                Ellipse2D outline = new Ellipse2D.Double(x1, y1, x2 - x1, y2 - y1);
                g.setColor(Look.GROUND);
                g.setStroke(new BasicStroke(4));
                g.draw(outline);
                g.setColor(COLOURS[i]);
                g.setStroke(
                        DASHES[i] == null
                                ? new BasicStroke(2)
                                : new BasicStroke(
                                        2,
                                        BasicStroke.CAP_BUTT,
                                        BasicStroke.JOIN_ROUND,
                                        1,
                                        DASHES[i],
                                        0));
                g.draw(outline);
                String label = String.valueOf(i + 1);
                g.setColor(Look.GROUND);
                g.fillRect((int) x2 - 2, (int) y1 - 2, 13, 16);
                g.setColor(COLOURS[i]);
                g.drawString(label, (int) x2 + 1, (int) y1 + 11);
            }
        }
    }

    private double x(PictureScale scale, double metres) {
        return left + scale.column(metres * 1e3) * unitsPerPixel;
    }

    private double y(PictureScale scale, double metres) {
        return top + scale.row(metres * 1e3) * unitsPerPixel;
    }
}
