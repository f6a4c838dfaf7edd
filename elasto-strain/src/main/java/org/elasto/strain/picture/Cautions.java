package org.elasto.strain.picture;

/** What has to be said wherever strain is shown. */
public final class Cautions {

    /** The cautions that stand below every picture and in every file. */
    public static final String TEXT =
            "Research and engineering use. Not a medical device, no diagnosis. Strain is relative:"
                + " it depends on how it was pressed and is not stiffness itself. To be read by"
                + " licensed practitioners under the rules of the place. Keep exposure as low as"
                + " reasonably achievable.";

    private Cautions() {}
}
