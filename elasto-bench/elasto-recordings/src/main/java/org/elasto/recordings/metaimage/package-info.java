/** MetaImage files: a header of lines {@code Key = Value}, and samples behind or beside it. */
package org.elasto.recordings.metaimage;
