// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.evening.Morning;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.HeardProbes;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.SetUpApi;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.store.ReadingStore;
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
    Configuration c = config.read().forOneWatch("dashboard");
    MqttSettings mqtt = Sessions.settings(c.existingBroker("dashboard"));
    InstantSource clock = InstantSource.system();
    CallingPlan plan = c.calling().plan();
    try (RunningParts parts = new RunningParts()) {
      Services services = new Services(parts, c.farm(), clock);
      ServicesApart apart = new ServicesApart(parts, c, clock);
      ReadingStore store = apart.storeToRead();
      Topics topics = new Topics(c.farm().name());
      MqttLink link = parts.add(MqttLink.open(Sessions.named(mqtt, "dashboard-out")));
      HeardFarm heard = services.heardFarm(Sessions.named(mqtt, "dashboard"));
      RemoteFarm farm =
          new RemoteFarm(heard, clock, topics, link, new Morning(plan.morning(), plan.zone()));
      parts.add(
          TopicListener.open(
              Sessions.named(mqtt, "dashboard"),
              List.of(topics.stateFilter(), topics.answerFilter(), topics.monitorTroubleFilter()),
              farm::heard));
      BookToRead book = apart.bookToRead();
      Kept kept = Kept.in(book, c.farm().name(), plan.zone());
      StoredTraces traces = new StoredTraces(store);
      DashboardServer pages =
          services.dashboard(
              c.door().settings(c, book::forAccess),
              farm,
              traces,
              kept,
              Optional.empty(),
              Optional.empty(),
              List.of(
                  new SetUpApi(farm, Optional.empty(), new HeardProbes(), clock::instant, false),
                  FarmRecords.toRead(book, c.farm(), plan.zone(), clock),
                  FarmHolding.toRead(book, c.farm(), farm, kept, traces, plan.zone())));
      log.info(
          "the pages of {} are at {}://{}:{}/",
          c.farm().name(),
          c.door().scheme(),
          c.dashboardHost(),
          pages.port());
      parts.untilAskedToEnd();
    }
    return 0;
  }
}
