package org.elasto.api.config;

/** Config record of a plugin that has no parameters. */
public record NoParameters() {}
