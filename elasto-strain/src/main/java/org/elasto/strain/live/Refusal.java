package org.elasto.strain.live;

/** Why a frame that was taken in was not compared with another one. */
public enum Refusal {
    /** Its geometry or sample type is not the session's. */
    WRONG_SHAPE("its geometry or sample type is another"),
    /** Too many of its samples are not numbers, infinite or clipped. */
    BAD_SAMPLES("too many samples are not finite or are clipped"),
    /** Nothing comes back from most of the probe's face. */
    NO_CONTACT("the probe has no contact"),
    /** There is no earlier frame that it can be compared with. */
    NO_PARTNER("no earlier frame shows the same tissue"),
    /** It differs too little from all earlier frames at hand. */
    TOO_STILL("it differs too little from the frames before"),
    /** It differs too much from the frame before. */
    TOO_FAST("it differs too much from the frame before"),
    /** The probe slides sideways. */
    SIDEWAYS("the probe slides sideways"),
    /** The pair was compared, but next to nothing of the strain can be trusted. */
    NOTHING_TRUSTED("next to nothing of the strain can be trusted"),
    /** An estimator threw an exception, or gave what its contract forbids. */
    FAILED("an estimator failed");

    private final String text;

    Refusal(String text) {
        this.text = text;
    }

    /**
     * The reason in a few words.
     *
     * @return a phrase
     */
    public String text() {
        return text;
    }
}
