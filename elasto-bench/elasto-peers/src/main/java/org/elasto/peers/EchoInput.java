package org.elasto.peers;

/** What of the echoes is made an image. */
public enum EchoInput {
    /** The samples as they are, scaled so that three root mean squares reach the ends. */
    RF,
    /** The envelope on a logarithmic scale, 60 dB below its peak black. */
    LOG_ENVELOPE
}
