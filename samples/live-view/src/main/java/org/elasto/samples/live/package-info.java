/**
 * A window that shows strain live.
 *
 * <p>Threads, from the probe to the screen: {@code Feed} reads or makes frames ahead, {@code
 * Player} hands one over every 20 ms, the live session works on them, {@code Exchange} copies
 * finished images, and the event thread draws and listens. What takes time and is asked for in the
 * window ({@code Controller}) has a thread of its own.
 */
package org.elasto.samples.live;
