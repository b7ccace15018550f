// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.List;
import java.util.concurrent.Callable;
import opercle.analysis.publish.Topics;
import opercle.dashboard.web.DashboardServer;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.store.SqliteReadings;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code dashboard}: the pages alone. */
@Command(
    name = "dashboard",
    description =
        "The pages alone: states and alarms from an existing broker, traces from the store.")
final class DashboardCommand implements Callable<Integer> {

  private static final Logger log = LoggerFactory.getLogger(DashboardCommand.class);

  @Mixin private ConfigOption config;

  @Override
  public Integer call() {
    Configuration c = config.read();
    MqttSettings mqtt = Services.settings(c.existingBroker("dashboard"));
    InstantSource clock = InstantSource.system();
    try (RunningParts parts = new RunningParts()) {
      Services services = new Services(parts, c.farm(), clock);
      SqliteReadings store = services.storeToRead(c.dataFolder());
      Topics topics = new Topics(c.farm().name());
      MqttLink link = parts.add(MqttLink.open(Services.named(mqtt, "dashboard-out")));
      RemoteFarm farm = new RemoteFarm(c.farm(), clock, topics, link);
      parts.add(
          TopicListener.open(
              Services.named(mqtt, "dashboard"),
              List.of(topics.stateFilter(), topics.answerFilter()),
              farm::heard));
      DashboardServer pages =
          services.dashboard(
              c.dashboard(),
              farm,
              new StoredTraces(store),
              services.pastAlarmsToRead(c.dataFolder()),
              List.of(FarmRecords.toRead(parts, c.dataFolder(), c.farm(), clock)));
      log.info(
          "the pages of {} are at http://{}:{}/", c.farm().name(), c.dashboardHost(), pages.port());
      parts.untilAskedToEnd();
    }
    return 0;
  }
}
