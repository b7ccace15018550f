// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import opercle.analysis.book.FarmBook;
import opercle.analysis.publish.WatchService;
import opercle.analysis.setup.FarmDesk;
import opercle.dashboard.push.PushDesk;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** {@code analyse}: the watch alone, between an existing broker and itself. */
@Command(
    name = "analyse",
    description =
        "The watch alone: readings from an existing broker, states and alarms back to it.")
final class AnalyseCommand implements Callable<Integer> {

  private static final Logger log = LoggerFactory.getLogger(AnalyseCommand.class);

  @Mixin private ConfigOption config;

  @Override
  public Integer call() {
    Configuration c = config.read().forOneWatch("analyse");
    MqttSettings mqtt = Sessions.settings(c.existingBroker("analyse"));
    try (RunningParts parts = new RunningParts()) {
      Services services = new Services(parts, c.farm(), InstantSource.system());
      ServicesApart apart = new ServicesApart(parts, c, InstantSource.system());
      DataDisk.requireRoom(c.dataFolder());
      FarmBook book = services.book(c.book());
      FarmDesk desk = services.desk(book, c.farmFile());
      Optional<SiteHearing> hearing = SiteHearing.of(c);
      hearing.ifPresent(site -> desk.takeIn(site::whyNot));
      PushDesk push = services.push(c.dataFolder(), book, c.calling().publicUrl());
      // No links: no process answers them, and a dead link at night is worse than none.
      Optional<PeopleCalled> called =
          Optional.of(services.calling(c, book, push, Optional.empty()));
      WatchService watch =
          services.watch(
              mqtt,
              c.dataFolder(),
              apart.storeToReadIfThere(),
              book,
              PeopleCalled.listeners(called));
      var unusedRecords = FarmHolding.tell(book, watch, InstantSource.system());
      FarmHolding.follow(desk, book, watch::know, InstantSource.system());
      SensorSubscriber subscriber =
          services.subscriber(
              Sessions.named(mqtt, "analyse"),
              c.mappings(),
              new Rejections(),
              Optional.empty(),
              List.of(watch),
              c.apart());
      var unusedDesk = services.probes(mqtt, book, desk, subscriber);
      var unused =
          services.selfWatch(
              mqtt,
              c.dataFolder(),
              watch,
              subscriber,
              c.beyond(),
              () -> PeopleCalled.reach(called),
              Stream.concat(
                      Stream.of(apart.ingests(mqtt)),
                      hearing.stream().map(site -> site.leg(desk::farm)))
                  .toList());
      log.info(
          "watching {} tanks of {} on {}",
          desk.farm().tanks().size(),
          c.farm().name(),
          mqtt.broker());
      parts.untilAskedToEnd();
    }
    return 0;
  }
}
