// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.nio.file.Path;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Supplier;
import opercle.analysis.publish.Topics;
import opercle.dashboard.monitor.DatabaseLeg;
import opercle.dashboard.monitor.DiskLeg;
import opercle.dashboard.monitor.Leg;
import opercle.dashboard.monitor.ProgressLeg;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.monitor.WatchLeg;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.store.ReadingStore;
import opercle.ingest.store.SpooledReadings;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** What processes that run apart have of each other. */
final class ServicesApart {

  private static final Logger log = LoggerFactory.getLogger(ServicesApart.class);

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

  /**
   * Tells of such a service where there must be none. What comes twice to a file is there once and
   * counts once, so that only an InfluxDB minds.
   */
  Optional<Leg> noIngest(MqttSettings settings) {
    return minuteBucket().map(bucket -> hear(settings).noneInto(bucket));
  }

  private Optional<String> minuteBucket() {
    return c.store() instanceof StoreSettings.Influx influx
        ? Optional.of(influx.influx().minutes().bucket())
        : Optional.empty();
  }

  private HeardIngests hear(MqttSettings settings) {
    HeardIngests heard = new HeardIngests(c.calling().plan().zone());
    TopicListener listener =
        parts.add(
            TopicListener.open(
                Sessions.named(settings, "ingests"),
                List.of(new Topics(farm).ingestFilter()),
                heard::heard));
    heard.hearsWhile(() -> listener.linkState().connected());
    return heard;
  }

  /**
   * Looks at a service that only takes readings in, once a second, and tells MQTT and the log. What
   * it said under a name that it had before is taken back.
   *
   * @param before by what the broker knew it
   * @param now by what it does
   * @param spooled how its spool is, where it has one
   */
  void ingestStatus(
      MqttSettings settings,
      Optional<IngestSession> before,
      IngestSession now,
      Intake intake,
      Optional<Supplier<SpooledReadings.State>> spooled) {
    String topic = topic(now.clientId());
    MqttLink link =
        parts.add(
            MqttLink.open(
                Sessions.named(settings, "ingest-status"), IngestStatus.will(topic, clock)));
    Path dataFolder = c.dataFolder();
    now.formerName(before)
        .ifPresentOrElse(name -> takeBack(link, name, now), () -> now.note(dataFolder));
    IngestStatus status = IngestStatus.on(topic, clock, link, minuteBucket());
    parts.add(status::farewell);
    SensorSubscriber subscriber = intake.subscriber();
    List<Leg> legs = new ArrayList<>();
    legs.add(intake.kept());
    legs.add(WatchLeg.ofIntake(subscriber));
    legs.add(new DiskLeg(dataFolder));
    legs.add(
        new ProgressLeg(
            Map.of("subscriber", () -> OptionalLong.of(subscriber.turns())),
            SelfWatching::endAtOnce));
    spooled.ifPresent(state -> legs.add(new DatabaseLeg(state)));
    parts.add(SelfWatch.start(clock, legs, List.of(status)));
  }

  private String topic(String clientId) {
    return new Topics(farm).ingest(clientId.replaceAll("[^A-Za-z0-9_-]", "-"));
  }

  /** The new name is noted only once the broker has it, so that a start that fails tries again. */
  private void takeBack(MqttLink link, String formerName, IngestSession now) {
    log.warn(
        "mqtt.clientId was {} when this data folder was used last, and is {} now: what the broker still holds for {} comes to nobody. To store it, start ingest once more with clientId {}, and change it when nothing waits there.",
        formerName,
        now.clientId(),
        formerName,
        formerName);
    var unused =
        link.offer(topic(formerName), new byte[0], 1, true)
            .thenRunAsync(() -> now.note(c.dataFolder()));
  }
}
