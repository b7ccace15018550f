// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import opercle.analysis.book.FarmBook;
import opercle.analysis.publish.WatchService;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.dashboard.command.Configuration.Mqtt;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.push.PushDesk;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.SetUpApi;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;
import opercle.ingest.store.IntakeStore;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code serve}: everything in one process. */
@Command(
    name = "serve",
    description =
        "Watches real tanks: broker (unless you have one), store, watch and pages in one process.")
final class ServeCommand implements Callable<Integer> {

  private static final Logger log = LoggerFactory.getLogger(ServeCommand.class);

  @Mixin private ConfigOption config;

  @Override
  public Integer call() {
    Configuration c =
        config.readForAll("serve", "it watches all tanks in one process").forOneProcess("serve");
    InstantSource clock = InstantSource.system();
    try (RunningParts parts = new RunningParts()) {
      Services services = new Services(parts, c.farm(), clock);
      // Before the door of our own broker opens: what it acknowledged while the book's server is
      // waited for would have nobody to go to.
      DataDisk.requireRoom(c.dataFolder()); // before the book, which would say it less plainly
      FarmBook book = services.book(c.book());
      Broker broker = broker(services, c);
      MqttSettings mqtt = broker.own();
      IntakeStore store = services.store(c.dataFolder(), c.store());
      FarmDesk desk = services.desk(book, c.farmFile());
      PushDesk push = services.push(c.dataFolder(), book, c.calling().publicUrl());
      Optional<PeopleCalled> called =
          Optional.of(services.calling(c, book, push, c.calling().publicUrl()));
      WatchService watch =
          services.watch(
              mqtt,
              c.dataFolder(),
              Optional.of(store.onThisMachine()),
              book,
              PeopleCalled.listeners(called));
      FarmHolding.follow(desk, book, watch::know, clock);
      HeardProbes heard = new HeardProbes();
      // Before the pages: what is published once they are up must not be missed.
      SensorSubscriber subscriber =
          services.subscriber(
              Sessions.named(mqtt, Services.FRONT_DOOR),
              c.mappings(),
              new Rejections(),
              Optional.of(store),
              List.of(watch, heard));
      ProbeDesk probes = services.probes(mqtt, book, desk, subscriber);
      SelfWatch selfWatch =
          services.selfWatch(
              mqtt,
              c.dataFolder(),
              watch,
              subscriber,
              c.beyond(),
              () -> PeopleCalled.reach(called),
              new ServicesApart(parts, c, clock).noIngest(mqtt).stream().toList());
      LocalFarm live =
          new LocalFarm(
              clock,
              watch,
              subscriber,
              selfWatch,
              () -> PeopleCalled.reach(called),
              () -> PeopleCalled.forTheMonitor(called),
              PeopleCalled.morning(called),
              c.dataFolder(),
              services.spool(c.dataFolder()));
      parts.add(MinuteLine.start(live));
      Kept kept = Kept.in(book, c.farm().name(), called);
      ZoneId zone = called.map(PeopleCalled::zone).orElse(ZoneId.systemDefault());
      StoredTraces traces = new StoredTraces(store);
      DashboardServer pages =
          services.dashboard(
              c.door().settings(c, () -> Optional.of(book)),
              live,
              traces,
              kept,
              Optional.of(FarmHolding.trips(book, desk, clock)),
              Optional.of(push),
              Stream.concat(
                      Stream.of(
                          new SetUpApi(
                              desk,
                              Optional.of(probes),
                              heard,
                              clock::instant,
                              called.isPresent(),
                              Optional.of(FarmHolding.moves(book, c.farm(), clock))),
                          FarmRecords.in(book, c.farm(), zone, clock),
                          FarmHolding.in(book, watch, live, kept, traces, zone, clock)),
                      called.map(p -> p.routes(live)).orElse(List.of()).stream())
                  .toList());
      log.info(
          "watching {} tanks of {}; probes publish to {}, the pages are at {}://{}:{}/",
          desk.farm().tanks().size(),
          c.farm().name(),
          broker.address(),
          c.door().scheme(),
          c.dashboardHost(),
          pages.port());
      parts.untilAskedToEnd();
    }
    return 0;
  }

  /**
   * @param own how Opercle itself comes in
   * @param address where probes do
   */
  private record Broker(MqttSettings own, String address) {}

  private static Broker broker(Services services, Configuration c) {
    if (c.mqtt() instanceof Mqtt.Existing existing) {
      return new Broker(Sessions.settings(existing), existing.broker().toString());
    }
    BrokerDoor door = ((Mqtt.Embedded) c.mqtt()).door();
    EmbeddedBroker embedded = services.broker(c.dataFolder(), door);
    return new Broker(Sessions.settings(embedded), door.address(embedded.port()));
  }
}
