// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OperationsPerInvocation;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.openjdk.jmh.infra.Blackhole;

/**
 * How many readings a second the watch takes on one core: twenty stocked tanks, oxygen, temperature
 * and gas flow once a second each, with the tick of every second. Values wander and are noisy as
 * those of real probes; making the readings counts too.
 *
 * <p>{@code mvn -q -pl analysis -am -DskipTests -Pbenchmark -Dbenchmark=Watch test}
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 3, time = 5)
@Measurement(iterations = 5, time = 5)
@Fork(1)
public class WatchBenchmark {

  private static final int TANKS = 20;
  private static final int VALUES = 1 << 14;

  private final String[] tanks = LargeFarm.ids(TANKS);
  private final double[] oxygen = new double[VALUES];
  private final double[] noise = new double[VALUES];
  private FarmWatch watch = new FarmWatch(LargeFarm.of(TANKS));
  private Instant now = SallowmereTanks.T0;
  private int next;

  /** A watch that has listened for an hour. */
  @Setup
  public void listen(Blackhole said) {
    Signals signal = new Signals(1, 1.0, 0.03, 30.0, 0.05);
    Random random = new Random(2);
    for (int i = 0; i < VALUES; i++) {
      oxygen[i] = signal.next();
      noise[i] = Math.round(100.0 * random.nextGaussian()) / 100.0;
    }
    watch = new FarmWatch(LargeFarm.of(TANKS));
    for (int s = 0; s < 3600; s++) {
      second(said);
    }
  }

  /** A second of the farm. */
  @Benchmark
  @OperationsPerInvocation(3 * TANKS)
  public void second(Blackhole said) {
    now = now.plusSeconds(1);
    said.consume(watch.tick(now));
    for (int i = 0; i < TANKS; i++) {
      next++;
      // There and back again, so that the series has no step where it ends.
      int at = Math.abs(next / TANKS % (2 * VALUES) - VALUES) % VALUES;
      said.consume(accept(tanks[i], Quantity.OXYGEN, oxygen[at]));
      said.consume(accept(tanks[i], Quantity.TEMPERATURE, 12.0 + 0.02 * noise[next % VALUES]));
      said.consume(accept(tanks[i], Quantity.GAS_FLOW, 45.0 + 0.5 * noise[(next + i) % VALUES]));
    }
  }

  private Object accept(String tank, Quantity quantity, double value) {
    return watch.accept(new Reading(tank, quantity, Reading.DEFAULT_PROBE, now, value));
  }
}
