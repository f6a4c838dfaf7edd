package org.elasto.strain.live;

/** What to tell the person who holds the probe. */
public enum Advice {
    /** Too few frames yet to tell. */
    STARTING("Starting"),
    /** Tissue is squeezed enough, and not too much, to be measured. */
    GOOD("Good, keep pressing gently"),
    /** No two frames at hand differ enough to be measured. */
    TOO_STILL("Too still: press and release a little"),
    /** Echoes change so much from one frame to the next that they can no longer be matched. */
    TOO_FAST("Too fast: press more slowly"),
    /** The probe slides sideways over the tissue. */
    SLIDING_SIDEWAYS("Sliding sideways: keep the probe in place"),
    /** Nothing comes back from most of the probe's face. */
    NO_CONTACT("No contact: put the probe on");

    private final String text;

    Advice(String text) {
        this.text = text;
    }

    /**
     * The advice in a few words.
     *
     * @return one line
     */
    public String text() {
        return text;
    }
}
