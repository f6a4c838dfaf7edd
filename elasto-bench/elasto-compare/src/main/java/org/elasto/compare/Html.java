package org.elasto.compare;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Base64;

/** Text and data as they stand in a page. Stateless and thread-safe. */
final class Html {

    /** Captions of narrow pictures are no narrower (pixels). */
    private static final int NARROWEST = 130;

    private Html() {}

    /** Text with everything that means something in HTML made harmless. */
    static String text(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;")
                .replace("'", "&#39;");
    }

    /** Data as the address of itself. */
    static String data(String type, byte[] bytes) {
        return "data:" + type + ";base64," + Base64.getEncoder().encodeToString(bytes);
    }

    /** A figure of a picture; the alternative text is the caption's, without marks. */
    static String figure(String kind, String address, int width, int height, String caption) {
        String alternative = caption.replaceAll("<[^>]*>", " ").replaceAll("\\s+", " ").trim();
        return "<figure class=\""
                + kind
                + "\"><img src=\""
                + address
                + "\" width=\""
                + width
                + "\" height=\""
                + height
                + "\" alt=\""
                + alternative
                + "\"><figcaption style=\"max-width:"
                + Math.max(NARROWEST, width)
                + "px\">"
                + caption
                + "</figcaption></figure>\n";
    }

    /** A part of the page that lies beside this class. */
    static String resource(String name) {
        try (InputStream in = Html.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }
}
