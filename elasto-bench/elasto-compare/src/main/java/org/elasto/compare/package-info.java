/**
 * The workbench's command line.
 *
 * <p>Commands end in {@code Command}. {@code picture} is done by {@code PictureJob}, measured by
 * {@code Comparison} against a {@code TrueMotion}; {@code accuracy} by {@code Accuracy} over {@code
 * Condition}s; {@code compare} by {@code ComparisonRun}, which does the {@code ComparisonCase}s of
 * a {@code ComparisonFile}, and {@code Report}, which makes one page of their {@code CaseOutcome}s.
 * What several need is in {@code Sources} (opening), {@code WholeFile} (writing), {@code TextTable}
 * (reading TOML), {@code Problems} and {@code Interruption} (errors).
 */
package org.elasto.compare;
