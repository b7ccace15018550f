// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import opercle.analysis.farm.Farm;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.store.IntakeStore;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The front door of a service that only stores readings: those of all sites, as the processes that
 * watch them tell which tanks there are and which topics feed them.
 */
final class Intake {

  private static final Logger log = LoggerFactory.getLogger(Intake.class);

  /**
   * A broker hands out what it keeps within moments of the connection; a dead one is not awaited.
   */
  private static final Duration UNTIL_TOLD = Duration.ofSeconds(3);

  private Intake() {}

  /**
   * Starts it.
   *
   * @param shares every share in which its session has been
   */
  static SensorSubscriber start(
      RunningParts parts,
      Configuration c,
      MqttSettings settings,
      IntakeStore store,
      Set<String> shares,
      InstantSource clock) {
    List<HeardFarm> farms =
        c.watched().stream().map(farm -> HeardFarm.keptIn(c.dataFolder(), farm)).toList();
    HeardTopics assigned =
        new HeardTopics(c.watched().stream().map(Farm::name).toList(), c.dataFolder());
    parts.add(
        TopicListener.open(
            Sessions.named(settings, "farm"),
            Stream.concat(farms.stream().map(HeardFarm::topic), assigned.topics().stream())
                .toList(),
            message -> {
              farms.forEach(farm -> farm.heard(message));
              assigned.heard(message);
            }));
    awaitTold(farms);
    PayloadDecoder decoder =
        new PayloadDecoder(
            tank -> farms.stream().anyMatch(farm -> farm.hasTank(tank)), c.mappings());
    SensorSubscriber.Builder builder =
        SensorSubscriber.builder(settings, decoder)
            .clock(clock)
            .sink(store)
            .arrivals(store.arrivals(Services.ARRIVALS_KEPT))
            .assigned(assigned.mappings())
            .onceSharedAs(shares);
    c.apart().share().ifPresent(builder::sharedAs);
    SensorSubscriber subscriber = parts.add(builder.start());
    assigned.follow(subscriber::assign);
    return subscriber;
  }

  /**
   * What the broker holds for a tank that was set up on the pages meanwhile must not come in before
   * the tank is known: it would be turned away, and the broker let it go.
   */
  private static void awaitTold(List<HeardFarm> farms) {
    Instant deadline = Instant.now().plus(UNTIL_TOLD);
    try {
      for (HeardFarm farm : farms) {
        if (!farm.awaitTold(Duration.between(Instant.now(), deadline))) {
          log.warn(
              "{} holds nothing yet: until analyse or serve says there which tanks there are, those of the file and those heard of before are known",
              farm.topic());
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
