package org.elasto.peers;

import java.util.List;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * A displacement estimator made from a general-purpose library.
 *
 * @param <C> config record
 */
public interface PeerProvider<C extends Record> extends DisplacementEstimatorProvider<C> {

    /**
     * The settings under which the library is to be compared, as changes to the defaults; the best
     * of them counts.
     *
     * @return texts such as {@code input=log-envelope}
     */
    List<String> settings();
}
