// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.Optional;
import java.util.concurrent.Callable;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.store.IntakeStore;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code ingest}: from an existing broker to the store. */
@Command(
    name = "ingest",
    description = "The front door alone: takes readings from an existing broker into the store.")
final class IngestCommand implements Callable<Integer> {

  private static final Logger log = LoggerFactory.getLogger(IngestCommand.class);

  @Mixin private ConfigOption config;

  @Override
  public Integer call() {
    Configuration c = config.readForAll("ingest", "it takes the readings of all sites");
    MqttSettings mqtt = Sessions.settings(c.existingBroker("ingest"));
    try (RunningParts parts = new RunningParts()) {
      Services services = new Services(parts, c.farm(), InstantSource.system());
      IntakeStore store = services.store(c.dataFolder(), c.store(), c.apart().share().isPresent());
      MqttSettings own = Sessions.named(mqtt, "ingest");
      Optional<IngestSession> before = IngestSession.noted(c.dataFolder());
      IngestSession now = IngestSession.now(mqtt.clientId(), c.apart().share(), before);
      Intake intake =
          Intake.start(
              parts, c, own, store, now.shares(), InstantSource.system(), System::nanoTime);
      new ServicesApart(parts, c, InstantSource.system())
          .ingestStatus(mqtt, before, now, intake, services.spooled());
      log.info(
          "taking readings of {} from {} into {}",
          c.farm().name(),
          mqtt.broker(),
          c.store() instanceof StoreSettings.Influx influx ? influx.influx() : c.dataFolder());
      parts.untilAskedToEnd();
    }
    return 0;
  }
}
