// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.UUID;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.evening.EveningView;
import opercle.analysis.evening.Morning;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmChanges;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.publish.ActTopics;
import opercle.analysis.publish.StateReader;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.FarmDoor;
import opercle.analysis.setup.FarmMessages;
import opercle.analysis.watch.TankState;
import opercle.dashboard.monitor.HubWords;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import opercle.dashboard.web.NotPassedOnException;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.TopicListener;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The farm as another process watches it: states come over MQTT, what people do goes back the same
 * way. What was not taken is known to the ingest process only, whose log tells it.
 */
final class RemoteFarm implements LiveFarm, FarmDoor {

  private static final Logger log = LoggerFactory.getLogger(RemoteFarm.class);

  // The watch tells a state once a second. One that is this old is no longer what the watch
  // believes.
  private static final Duration TOO_OLD = Duration.ofSeconds(15);

  private static final String SEE_THE_LOG = "See docs/operating.md, or the log.";

  /** So long sending an act may take, and then the watch's answer. */
  private static final Duration PATIENCE = Duration.ofSeconds(5);

  private final HeardFarm heardFarm;
  private final InstantSource clock;
  private final Topics topics;
  private final ActTopics acts;
  private final MqttLink link;
  private final Morning morning;
  private final HeardTroubles watchTroubles = new HeardTroubles();
  private final Map<String, TankState> newest = new ConcurrentHashMap<>();
  private final Map<String, CompletableFuture<ActTopics.Answer>> asked = new ConcurrentHashMap<>();

  /**
   * @param morning when somebody looks again, and in which time zone
   */
  RemoteFarm(
      HeardFarm heardFarm, InstantSource clock, Topics topics, MqttLink link, Morning morning) {
    this.heardFarm = heardFarm;
    this.clock = clock;
    this.topics = topics;
    this.acts = new ActTopics(topics);
    this.link = link;
    this.morning = morning;
  }

  /** A tank state, a trouble of the watch, or what became of an act, that came over MQTT. */
  void heard(TopicListener.Message message) {
    if (message.topic().startsWith(topics.monitorTrouble(""))) {
      watchTroubles.heard(message);
      return;
    }
    if (message.payload().length == 0) {
      return;
    }
    if (message.topic().startsWith(topics.answer(""))) {
      ActTopics.Answer.read(message.payload())
          .ifPresent(
              answer ->
                  Optional.ofNullable(asked.get(answer.id())).ifPresent(a -> a.complete(answer)));
      return;
    }
    try {
      TankState state = StateReader.read(new String(message.payload(), StandardCharsets.UTF_8));
      newest.put(state.tank(), state);
    } catch (JsonProcessingException | IllegalArgumentException e) {
      log.warn("{} holds no tank state that can be read: {}", message.topic(), e.getMessage());
    }
  }

  @Override
  public Morning morning() {
    return morning;
  }

  @Override
  public Farm farm() {
    return heardFarm.version().farm();
  }

  @Override
  public Instant now() {
    return clock.instant();
  }

  /**
   * The newest states, old ones too: an alarm that stands must not vanish because the watch is
   * away.
   */
  @Override
  public List<TankState> states() {
    return List.copyOf(newest.values());
  }

  /** Whether news of the tanks can come; of what else there is, another process knows. */
  @Override
  public MonitorState monitor() {
    return new MonitorState(
        Optional.empty(),
        Optional.of(MonitorState.Part.of(link.state().trouble().map(HubWords::of))),
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  /** Passes it on, and returns when the watch has done it. */
  @Override
  public void perform(TankAct act) {
    ask(acts.topic(act), id -> ActTopics.payload(act, id));
  }

  @Override
  public FarmVersion version() {
    return heardFarm.version();
  }

  @Override
  public List<FarmVersion> history(int most) {
    return List.of(version());
  }

  @Override
  public FarmVersion change(
      OptionalLong basedOn, String by, UnaryOperator<Farm> change, Runnable with) {
    FarmVersion before = version();
    FarmVersion after = change(before, basedOn, by, change, Optional.empty());
    if (after.number() != before.number()) {
      with.run(); // nothing: who has no book to write to cannot move fish here
    }
    return after;
  }

  @Override
  public FarmVersion putIn(
      OptionalLong basedOn, String by, UnaryOperator<Farm> change, PutIn fish) {
    return change(version(), basedOn, by, change, Optional.of(fish));
  }

  /** Asks the watch for it, and returns when it is in the farm book. */
  private FarmVersion change(
      FarmVersion before,
      OptionalLong basedOn,
      String by,
      UnaryOperator<Farm> change,
      Optional<PutIn> fish) {
    if (basedOn.isPresent() && basedOn.getAsLong() != before.number()) {
      throw new RefusedActException(
          "%s has changed the farm meanwhile. Look at it again, then change it."
              .formatted(before.by()));
    }
    Farm next = FarmReader.parse("farm", FarmWriter.write(change.apply(before.farm())));
    if (next.equals(before.farm())) {
      return before;
    }
    FarmMessages.Change wanted = new FarmMessages.Change(before.number(), by, next, fish);
    ask(topics.farmChange(), id -> FarmMessages.change(wanted, id));
    return new FarmVersion(
        before.number() + 1, next, clock.instant(), by, FarmChanges.between(before.farm(), next));
  }

  private void ask(String topic, UnaryOperator<String> payload) {
    Optional<String> lost = link.state().trouble();
    if (lost.isPresent()) { // kept for later it might come when nobody means it any more
      throw notPassedOn(lost.get());
    }
    String id = UUID.randomUUID().toString();
    CompletableFuture<ActTopics.Answer> answer = new CompletableFuture<>();
    asked.put(id, answer);
    try {
      // Not at QoS 1: the link would send it again after an outage, when somebody has been told
      // that it did not get through and another alarm may stand. The answer says that it did.
      link.offer(topic, Services.bytes(payload.apply(id)), 0, false)
          .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      Optional<String> refusal = answer.get(PATIENCE.toSeconds(), TimeUnit.SECONDS).refusal();
      if (refusal.isPresent()) {
        throw new RefusedActException(refusal.get());
      }
    } catch (ExecutionException e) {
      throw notPassedOn(e.getCause() == null ? e.getMessage() : e.getCause().getMessage());
    } catch (TimeoutException e) {
      throw new NotPassedOnException(
          "Neither the hub nor the watch has answered for %d s: it is not certain that the watch has this. Look again, and do not rely on it."
              .formatted(PATIENCE.toSeconds()));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw notPassedOn("Opercle is ending");
    } finally {
      asked.remove(id);
    }
  }

  private static NotPassedOnException notPassedOn(@Nullable String why) {
    return new NotPassedOnException(
        "The watch does not have this: %s. Everything stands as before."
            .formatted(why == null ? "it does not answer" : HubWords.of(why)));
  }

  @Override
  public NotTaken notTaken() {
    return NotTaken.NOTHING;
  }

  @Override
  public List<String> troubles() {
    return troublesToMend().stream().map(EveningView.Trouble::words).toList();
  }

  @Override
  public List<EveningView.Trouble> troublesToMend() {
    Stream<EveningView.Trouble> own =
        ownTroubles().stream().map(words -> new EveningView.Trouble(words, SEE_THE_LOG));
    return Stream.concat(own, watchTroubles.standing().stream()).toList();
  }

  private List<String> ownTroubles() {
    Optional<String> lost = link.state().trouble();
    if (lost.isPresent()) {
      return List.of("No news of the tanks arrives: " + HubWords.of(lost.get()) + ".");
    }
    Instant oldest = clock.instant().minus(TOO_OLD);
    boolean silent = newest.values().stream().allMatch(state -> state.time().isBefore(oldest));
    return silent
        ? List.of("The watch is silent. What stands here is old: look at the tanks.")
        : List.of();
  }
}
