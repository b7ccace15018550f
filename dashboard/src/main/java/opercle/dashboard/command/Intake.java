// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

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

/**
 * The front door of a service that only stores readings: those of all sites, as the processes that
 * watch them tell which tanks there are and which topics feed them.
 */
final class Intake {

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
}
