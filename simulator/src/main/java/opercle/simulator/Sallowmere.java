// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;

/** Sallowmere, the made-up farm of every example. */
public final class Sallowmere {

  /** The largest farm for load tests. */
  public static final int MOST_TANKS = 5000;

  private static final String RESOURCE = "sallowmere.yaml";

  private Sallowmere() {}

  /** Its description, as a farm would write it. */
  public static String yaml() {
    try (InputStream in = Sallowmere.class.getResourceAsStream(RESOURCE)) {
      if (in == null) {
        throw new IllegalStateException("the simulator was built without its " + RESOURCE);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException("the simulator's own " + RESOURCE + " cannot be read", e);
    }
  }

  /** The farm; since when its fish are there is left open. */
  public static Farm farm() {
    return FarmReader.parse(RESOURCE, yaml());
  }

  /**
   * The farm as it stands at an instant: fish have been in the holding tanks for one to six days,
   * the transport tanks were loaded some seven hours ago.
   */
  public static Farm farmAt(Instant now) {
    Farm farm = farm();
    List<Tank> tanks = new ArrayList<>();
    for (int i = 0; i < farm.tanks().size(); i++) {
      Tank tank = farm.tanks().get(i);
      Duration ago =
          tank.kind() == Tank.Kind.HOLDING
              ? Duration.ofHours(24L * (i + 1) - 5L)
              : Duration.ofMinutes(400L + 40L * (i % 2));
      tanks.add(loadedAt(tank, now.minus(ago)));
    }
    return new Farm(farm.name(), farm.altitudeM(), tanks);
  }

  /**
   * The farm grown or cut to so many tanks, for load tests: copies of its own, with a number behind
   * id and name.
   *
   * @param tanks 1 to {@value #MOST_TANKS}
   * @throws IllegalArgumentException if it is not
   */
  public static Farm farmOf(int tanks, Instant now) {
    if (tanks < 1 || tanks > MOST_TANKS) {
      throw new IllegalArgumentException("must be 1 to " + MOST_TANKS + " but was " + tanks);
    }
    Farm farm = farmAt(now);
    int own = farm.tanks().size();
    List<Tank> grown =
        IntStream.range(0, tanks)
            .mapToObj(
                i -> {
                  Tank tank = farm.tanks().get(i % own);
                  int copy = i / own + 1;
                  return copy == 1
                      ? tank
                      : named(tank, tank.id() + "-" + copy, tank.name() + "." + copy);
                })
            .toList();
    return new Farm(farm.name(), farm.altitudeM(), grown);
  }

  private static Tank loadedAt(Tank tank, Instant since) {
    List<Tank.Load> loads =
        tank.loads().stream()
            .map(l -> new Tank.Load(l.species(), l.kg(), l.count(), Optional.of(since)))
            .toList();
    return tank.withLoads(loads);
  }

  private static Tank named(Tank tank, String id, String name) {
    return new Tank(
        id,
        name,
        tank.kind(),
        tank.waterLitres(),
        tank.depthM(),
        tank.supply(),
        tank.loads(),
        tank.floors(),
        tank.responseMinutes(),
        tank.holding());
  }
}
