// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.publish.Topics;
import opercle.dashboard.monitor.DatabaseLeg;
import opercle.dashboard.monitor.DiskLeg;
import opercle.dashboard.monitor.Leg;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.monitor.WatchLeg;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.store.ReadingStore;
import opercle.ingest.store.SpooledReadings;

/** What processes that run apart have of each other. */
final class ServicesApart {

  private final RunningParts parts;
  private final Configuration c;
  private final InstantSource clock;
  private final String farm;

  ServicesApart(RunningParts parts, Configuration c, InstantSource clock) {
    this.parts = parts;
    this.c = c;
    this.clock = clock;
    this.farm = c.apart().chosen().map(Apart.Chosen::wholeFarm).orElse(c.farm().name());
  }

  /** The latest readings that another process writes, where it does so on this machine. */
  Optional<ReadingStore> storeToReadIfThere() {
    return Stores.latestIfHere(parts, c.readingsFolder(), c.store());
  }

  /** The readings that another process writes. */
  ReadingStore storeToRead() {
    return Stores.openToRead(parts, c.readingsFolder(), c.store(), c.apart().share().isPresent());
  }

  /** The book that another process writes; it may not be there yet. */
  BookToRead bookToRead() {
    return parts.add(new BookToRead(c.book()));
  }

  /** What services that take readings in on their own say of themselves. */
  Leg ingests(MqttSettings settings) {
    return hear(settings);
  }

  /** Tells of such a service where there must be none. */
  Leg noIngest(MqttSettings settings) {
    return hear(settings).none();
  }

  private HeardIngests hear(MqttSettings settings) {
    HeardIngests heard = new HeardIngests();
    parts.add(
        TopicListener.open(
            Sessions.named(settings, "ingests"),
            List.of(new Topics(farm).ingestFilter()),
            heard::heard));
    return heard;
  }

  /**
   * Looks at a service that only takes readings in, once a second, and tells MQTT and the log.
   *
   * @param spooled how its spool is, where it has one
   */
  void ingestStatus(
      MqttSettings settings,
      Path dataFolder,
      SensorSubscriber subscriber,
      Optional<Supplier<SpooledReadings.State>> spooled) {
    String topic = new Topics(farm).ingest(settings.clientId().replaceAll("[^A-Za-z0-9_-]", "-"));
    MqttLink link =
        parts.add(
            MqttLink.open(
                Sessions.named(settings, "ingest-status"), IngestStatus.will(topic, clock)));
    IngestStatus status = IngestStatus.on(topic, clock, link);
    parts.add(status::farewell);
    List<Leg> legs = new ArrayList<>();
    legs.add(WatchLeg.ofIntake(subscriber));
    legs.add(new DiskLeg(dataFolder));
    spooled.ifPresent(state -> legs.add(new DatabaseLeg(state)));
    parts.add(SelfWatch.start(clock, legs, List.of(status)));
  }
}
