package org.elasto.phantoms;

import org.elasto.api.Check;

/**
 * Frames in which some lines have air before them: nothing but noise and a short ring-down at the
 * probe's face.
 *
 * @param firstFrame first frame concerned, from 0
 * @param lastFrame last frame concerned
 * @param firstLine first line concerned, from 0
 * @param lastLine last line concerned; beyond the scan for all up to its end
 */
public record LostContact(int firstFrame, int lastFrame, int firstLine, int lastLine) {

    public LostContact {
        Check.range("first frame without contact", firstFrame, 0, Integer.MAX_VALUE);
        Check.range("last frame without contact", lastFrame, firstFrame, Integer.MAX_VALUE);
        Check.range("first line without contact", firstLine, 0, Integer.MAX_VALUE);
        Check.range("last line without contact", lastLine, firstLine, Integer.MAX_VALUE);
    }

    /**
     * All lines.
     *
     * @param firstFrame first frame concerned, from 0
     * @param lastFrame last frame concerned
     * @return the event
     */
    public static LostContact allLines(int firstFrame, int lastFrame) {
        return new LostContact(firstFrame, lastFrame, 0, Integer.MAX_VALUE);
    }

    /**
     * Whether a line of a frame is without contact.
     *
     * @param frame frame number
     * @param line line number
     * @return true if it is
     */
    public boolean covers(int frame, int line) {
        return frame >= firstFrame && frame <= lastFrame && line >= firstLine && line <= lastLine;
    }
}
