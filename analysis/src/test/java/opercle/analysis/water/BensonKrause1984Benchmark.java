// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import java.util.Random;
import java.util.concurrent.TimeUnit;
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

/**
 * How many saturations one core works out: the curve is behind every reading and every step of
 * every balance. Run {@code org.openjdk.jmh.Main BensonKrause1984} on the test class path.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 3, time = 1)
@Fork(1)
public class BensonKrause1984Benchmark {

  /** Waters in one call, few enough to stay in the nearest cache. */
  private static final int WATERS = 1024;

  private final BensonKrause1984 solubility = new BensonKrause1984();
  private final double[] temperatureC = new double[WATERS];
  private final double[] salinityGPerKg = new double[WATERS];
  private final double[] pressureKPa = new double[WATERS];

  /** Draws waters of a farm's kind, the same ones each time. */
  @Setup
  public void draw() {
    Random random = new Random(1984);
    for (int i = 0; i < WATERS; i++) {
      temperatureC[i] = 30.0 * random.nextDouble();
      salinityGPerKg[i] = 5.0 * random.nextDouble();
      pressureKPa[i] = 95.0 + 10.0 * random.nextDouble();
    }
  }

  /** Returns the sum, so that no evaluation can be left out. */
  @Benchmark
  @OperationsPerInvocation(WATERS)
  public double saturation() {
    double sum = 0.0;
    for (int i = 0; i < WATERS; i++) {
      sum += solubility.saturationMgPerL(temperatureC[i], salinityGPerKg[i], pressureKPa[i]);
    }
    return sum;
  }
}
