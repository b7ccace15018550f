// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import java.io.StringReader;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
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
 * How many readings a second a replay takes, from CSV text to alarms, with a state of each tank a
 * minute: ten tanks, oxygen, temperature and gas flow once a second, a million rows.
 *
 * <p>{@code mvn -q -pl analysis -am -DskipTests -Pbenchmark -Dbenchmark=Replay test}
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 3, time = 5)
@Measurement(iterations = 3, time = 5)
@Fork(1)
public class ReplayBenchmark {

  private static final int TANKS = 10;
  private static final int SECONDS = 33_334;
  private static final int ROWS = TANKS * SECONDS * 3;

  private String csv = "";
  private Farm farm = new Farm("", 0, List.of());

  /** Writes the trace. */
  @Setup
  public void write() {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 1; i <= TANKS; i++) {
      yaml.append("  - id: h")
          .append(i)
          .append("\n    kind: holding\n    waterLitres: 1500\n")
          .append(
              "    supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }\n")
          .append("    load: { species: tench, kg: 55, count: 70 }\n");
    }
    farm = FarmReader.parse("farm.yaml", yaml.toString());
    Random random = new Random(1);
    Instant start = Instant.parse("2026-03-14T20:00:00Z");
    StringBuilder rows = new StringBuilder("time,tank,quantity,value\n");
    for (int s = 0; s < SECONDS; s++) {
      String time = start.plusSeconds(s).toString();
      for (int i = 1; i <= TANKS; i++) {
        row(rows, time, i, "oxygen", 9.0 + 0.03 * random.nextGaussian());
        row(rows, time, i, "temperature", 12.0 + 0.02 * random.nextGaussian());
        row(rows, time, i, "gas-flow", 45.0 + 0.5 * random.nextGaussian());
      }
    }
    csv = rows.toString();
  }

  private static void row(
      StringBuilder rows, String time, int tank, String quantity, double value) {
    rows.append(time).append(",h").append(tank).append(',').append(quantity).append(',');
    rows.append(Math.round(value * 100.0) / 100.0).append('\n');
  }

  /** The whole trace. */
  @Benchmark
  @OperationsPerInvocation(ROWS)
  public void replay(Blackhole lines) {
    Replay replay = new Replay(farm, Optional.of(Duration.ofMinutes(1)), lines::consume);
    try (TraceReader trace =
        new TraceReader(
            "trace.csv", new StringReader(csv), farm.tankIds()::contains, lines::consume)) {
      for (Reading r = trace.next(); r != null; r = trace.next()) {
        replay.accept(r);
      }
    }
    replay.finish();
  }
}
