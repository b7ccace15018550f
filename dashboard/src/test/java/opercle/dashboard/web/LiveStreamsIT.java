// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankState;
import org.junit.jupiter.api.Test;

/**
 * As many live streams as the server takes, over real sockets, with some that read one byte a
 * second: nobody else may notice those. Prints its figures; performance.md has them.
 */
class LiveStreamsIT {

  private static final int STREAMS = 500;
  private static final int SLOW = 20;

  /** A snapshot of so many tanks fills any socket's buffer within the run. */
  private static final int TANKS = 60;

  private static final Duration RUN = Duration.ofSeconds(25);
  private static final Duration DRAIN = Duration.ofSeconds(10);

  /** What the system is told to keep for a connection, both ways, and what may be in its hands. */
  private static final long KEPT_BYTES_A_STREAM = 256 * 1024;

  @Test
  void fiveHundredStreams_withTwentyThatReadAByteASecond_areNotASecondLate() throws Exception {
    var pace = new LiveFeed.Pace(Duration.ofSeconds(1), DRAIN, STREAMS);
    try (var server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), new OnTime(), new FakeTraces(), pace);
        var readers = new ManyReaders(server.port())) {
      long before = usedBytes();

      readers.open(STREAMS - SLOW, SLOW);
      await().atMost(Duration.ofSeconds(30)).until(() -> server.listening() == STREAMS);
      Instant begin = Instant.now();
      readers.measureFrom(begin);
      await()
          .atMost(RUN.plusSeconds(10))
          .pollInterval(Duration.ofSeconds(1))
          .until(() -> Instant.now().isAfter(begin.plus(RUN)));
      readers.stop();
      long grown = usedBytes() - before;

      System.out.println(
          String.format(
              Locale.ROOT,
              "%d streams, %d of them slow, %d tanks, %d bytes a frame: late p50 %.0f ms, p99 %.0f ms,"
                  + " most %.0f ms over %d frames; %d kB of heap more; %d let go",
              STREAMS,
              SLOW,
              TANKS,
              readers.frameBytes(),
              readers.lateMs(0.5),
              readers.lateMs(0.99),
              readers.lateMs(1.0),
              readers.frames(),
              grown / 1024,
              STREAMS - server.listening()));
      assertThat(readers.fewestFrames())
          .as("frames of each")
          .isGreaterThan((int) RUN.toSeconds() - 3);
      assertThat(readers.lateMs(1.0)).as("latest frame, ms").isLessThan(1000.0);
      assertThat(grown).as("heap").isLessThan(STREAMS * KEPT_BYTES_A_STREAM);
      assertThat(server.listening()).as("the slow ones are let go").isEqualTo(STREAMS - SLOW);
      assertThat(readers.slowThatComesBack())
          .as("one who was let go may come back, and is sent the newest")
          .isAfter(begin.plus(RUN).minusSeconds(2));
    }
  }

  private static long usedBytes() {
    System.gc();
    Runtime runtime = Runtime.getRuntime();
    return runtime.totalMemory() - runtime.freeMemory();
  }

  /** A farm whose time is that of the machine, so that a frame tells how late it comes. */
  private static final class OnTime implements LiveFarm {

    private final List<Tank> tanks =
        IntStream.range(0, TANKS)
            .mapToObj(
                i -> FakeFarm.air("h" + i, "Holding " + i, 40, FakeFarm.load(Species.ROACH, 9, 9)))
            .toList();
    private final List<TankState> states = new ArrayList<>();

    OnTime() {
      tanks.forEach(t -> states.add(FakeFarm.holding(t.id(), 9.1, 87.0, 12.4, 40.2, 64.0)));
    }

    @Override
    public Farm farm() {
      return new Farm("Sallowmere", 40.0, tanks);
    }

    @Override
    public Instant now() {
      return Instant.now();
    }

    @Override
    public List<TankState> states() {
      return states;
    }

    @Override
    public void perform(TankAct act) {
      throw new UnsupportedOperationException("nobody acts here");
    }

    @Override
    public NotTaken notTaken() {
      return NotTaken.NOTHING;
    }

    @Override
    public List<String> troubles() {
      return List.of();
    }
  }
}
