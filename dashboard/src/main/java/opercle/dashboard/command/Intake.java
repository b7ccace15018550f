// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.InstantSource;
import java.util.List;
import java.util.Set;
import java.util.function.LongSupplier;
import java.util.stream.Stream;
import opercle.analysis.farm.Farm;
import opercle.dashboard.monitor.KeptLeg;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.store.IntakeStore;

/**
 * The front door of a service that only stores readings: those of all sites, as the processes that
 * watch them tell which tanks there are and which topics feed them.
 *
 * @param subscriber takes them in
 * @param kept looks at what was kept of both for this start
 */
record Intake(SensorSubscriber subscriber, KeptLeg kept) {

  /**
   * Starts it. A reading of a tank or topic that is not known waits, for some seconds at most,
   * until the broker has handed out what the watch said last: the tank may have been set up on the
   * pages while nobody was here.
   *
   * @param shares every share in which its session has been
   * @param steadyNanos by which it is measured how long a reading waits for its tank
   */
  static Intake start(
      RunningParts parts,
      Configuration c,
      MqttSettings settings,
      IntakeStore store,
      Set<String> shares,
      InstantSource clock,
      LongSupplier steadyNanos) {
    List<HeardFarm> farms =
        c.watched().stream().map(farm -> HeardFarm.keptIn(c.dataFolder(), farm)).toList();
    HeardTopics assigned =
        new HeardTopics(c.watched().stream().map(Farm::name).toList(), c.dataFolder());
    List<String> told =
        Stream.concat(farms.stream().map(HeardFarm::topic), assigned.topics().stream()).toList();
    AwaitedNews news = new AwaitedNews(told, steadyNanos);
    parts.add(
        TopicListener.open(
            Sessions.named(settings, "farm"),
            told,
            message -> {
              farms.forEach(farm -> farm.heard(message));
              assigned.heard(message);
              news.heard(message.topic()); // only now: whoever waits looks at once
            },
            news::lost));
    PayloadDecoder decoder =
        new PayloadDecoder(
            tank -> farms.stream().anyMatch(farm -> farm.hasTank(tank)), c.mappings());
    SensorSubscriber.Builder builder =
        SensorSubscriber.builder(settings, decoder)
            .clock(clock)
            .sink(store)
            .arrivals(store.arrivals(Services.ARRIVALS_KEPT))
            .assigned(assigned.mappings())
            .whileAwaitingTanks(news::isAwaited)
            .onceSharedAs(shares);
    c.apart().share().ifPresent(builder::sharedAs);
    SensorSubscriber subscriber = parts.add(builder.start());
    assigned.follow(subscriber::assign);
    return new Intake(
        subscriber,
        new KeptLeg(
            () ->
                Stream.concat(
                        farms.stream().flatMap(farm -> farm.damage().stream()),
                        assigned.damages().stream())
                    .toList()));
  }
}
