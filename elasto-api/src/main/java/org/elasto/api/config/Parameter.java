package org.elasto.api.config;

import java.lang.annotation.Documented;
import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/** Unit, range and meaning of one component of a config record. */
@Documented
@Retention(RetentionPolicy.RUNTIME)
@Target(ElementType.RECORD_COMPONENT)
public @interface Parameter {

    /**
     * What the parameter does, in one phrase.
     *
     * @return the meaning
     */
    String meaning();

    /**
     * SI unit.
     *
     * @return unit symbol, empty for a number without unit
     */
    String unit() default "";

    /**
     * Smallest allowed value of a number.
     *
     * @return the bound, itself allowed; infinite for none, and even then numbers must be finite
     */
    double min() default Double.NEGATIVE_INFINITY;

    /**
     * Largest allowed value of a number.
     *
     * @return the bound, itself allowed; infinite for none, and even then numbers must be finite
     */
    double max() default Double.POSITIVE_INFINITY;

    /**
     * Whether the parameter may be left open: NaN for a double, empty for a String. Other types
     * cannot be optional.
     *
     * @return true if it may
     */
    boolean optional() default false;
}
