// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.awaitility.Awaitility.await;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.BookPlace;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.ThroughputMain;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;

/**
 * The same as {@link ThroughputMain} with the watch of {@code serve} as second sink: tanks with
 * fish, its memory and the farm book on disk, states and alarms told to the same Mosquitto. A
 * message counts when its readings are durable and the watch has judged them. Not a test; first
 * argument: messages a round, 50,000 without.
 */
public final class WatchedThroughputMain {

  private WatchedThroughputMain() {}

  public static void main(String[] args) throws Exception {
    ThroughputMain.compare(args, "into SQLite and the watch", Optional.of(Watched::start));
  }

  private static Farm farm() {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (String tank : ThroughputMain.tanks()) {
      yaml.append("  - id: ").append(tank).append("\n    kind: holding\n    waterLitres: 1500\n");
      yaml.append(
          "    supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }\n");
      yaml.append("    load: { species: tench, kg: 55, count: 70 }\n");
    }
    return FarmReader.parse("farm.yaml", yaml.toString());
  }

  private record Watched(RunningParts parts, WatchService watch, SqliteReadings store)
      implements ThroughputMain.Second {

    static Watched start(URI broker, Path folder, SqliteReadings store) {
      RunningParts parts = new RunningParts();
      Services services = new Services(parts, farm(), InstantSource.system());
      WatchService watch =
          services.watch(
              MqttSettings.of(broker, "opercle"),
              folder,
              Optional.of(store),
              services.book(BookPlace.in(folder)));
      return new Watched(parts, watch, store);
    }

    @Override
    public void accept(List<Reading> batch) {
      watch.accept(batch);
    }

    /** The newest that is stored of each tank must be the newest that its state goes by. */
    @Override
    public void check(long readings) {
      if (watch.readings() != readings) {
        throw new AssertionError("watched " + watch.readings() + " of " + readings);
      }
      await()
          .atMost(Duration.ofSeconds(10))
          .until(() -> watch.states().stream().allMatch(this::isUpToDate));
    }

    private boolean isUpToDate(TankState state) {
      Series oxygen = new Series(state.tank(), Quantity.OXYGEN, Reading.DEFAULT_PROBE);
      return state.newestReading().equals(store.newest(oxygen).map(Reading::time));
    }

    @Override
    public void close() {
      parts.close();
    }
  }
}
