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
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;

/** Sallowmere, the made-up farm of every example. */
public final class Sallowmere {

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

  private static Tank loadedAt(Tank tank, Instant since) {
    List<Tank.Load> loads =
        tank.loads().stream()
            .map(l -> new Tank.Load(l.species(), l.kg(), l.count(), Optional.of(since)))
            .toList();
    return tank.withLoads(loads);
  }
}
