package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Metrics side by side, with what is done beside them. */
class SessionMetricsTest {

    private static final int METRICS = 7;

    private static LiveImage image() {
        ScanGeometry geometry =
                ScanGeometry.linear(8, 400, 40e6, 7.5e6, 1540, 0, 0.3e-3, Double.NaN);
        RowGrid grid = new RowGrid(10, 1e-3, 0.3e-3);
        return new LiveImage(
                new FieldLayout(geometry, grid, false, ErrorCorrelation.INDEPENDENT),
                new StrainLayout(geometry, grid, false, 2e-3),
                METRICS,
                new boolean[METRICS],
                null,
                null);
    }

    /** Every third fails; every second was handed in; each takes another time, and another next. */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3})
    void eachGivesItsOwnScoreInEveryRound(int count) {
        int[] round = {0};
        AtomicInteger beside = new AtomicInteger();
        IllegalStateException[] thrown = new IllegalStateException[METRICS];
        Arrays.setAll(thrown, i -> new IllegalStateException("metric " + i));
        List<SessionMetrics.Entry> entries = new ArrayList<>();
        for (int i = 0; i < METRICS; i++) {
            int number = i;
            var metric =
                    BadPlugins.metric(
                            () -> {
                                long end =
                                        System.nanoTime() + (number * 37 + round[0]) % 5 * 50_000;
                                while (System.nanoTime() < end) {
                                    Thread.onSpinWait();
                                }
                                if (number % 3 == 1) {
                                    throw thrown[number];
                                }
                                return number / 10.0;
                            });
            entries.add(new SessionMetrics.Entry("metric " + i, metric, i % 2 == 0));
        }
        LiveImage image = image();
        try (Workers workers = Workers.threads(count)) {
            SessionMetrics metrics =
                    new SessionMetrics(
                            entries,
                            strain -> {
                                assertSame(image.strain(), strain);
                                beside.incrementAndGet();
                            },
                            workers);
            for (round[0] = 0; round[0] < 20; round[0]++) {
                Arrays.fill(image.scores(), -1);
                metrics.judge(null, null, null, image);
                assertEquals(round[0] + 1, beside.get());
                for (int i = 0; i < METRICS; i++) {
                    assertEquals("metric " + i, metrics.name(i));
                    if (i % 3 == 1) {
                        assertSame(thrown[i], metrics.failure(i));
                        assertTrue(Double.isNaN(image.scores()[i]));
                    } else {
                        assertNull(metrics.failure(i));
                        assertEquals(i / 10.0, image.scores()[i]);
                    }
                }
            }
        }
    }
}
