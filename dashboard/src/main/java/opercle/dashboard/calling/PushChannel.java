// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Delivery;
import opercle.dashboard.push.PushDesk;
import opercle.dashboard.push.PushNotice;
import opercle.dashboard.push.PushOutcome;
import opercle.dashboard.push.PushSubscription;
import opercle.dashboard.push.Urgency;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells a person by a notice on every device that they have asked to be called on, all at once. It
 * counts as handed on when one device's push service has it: whether a person has seen it nobody
 * knows before they say so.
 *
 * <p>A notice of an occurrence replaces the one before it on the device, so that sending twice
 * shows once. For any thread; its own threads only send, and end with {@link #close}.
 */
public final class PushChannel implements Channel, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(PushChannel.class);
  private static final Duration URGENT_LIVES = Duration.ofHours(1);
  private static final Duration NEWS_LIVES = Duration.ofHours(12);

  /** A test that arrives later than this would only puzzle. */
  private static final Duration TEST_LIVES = Duration.ofMinutes(2);

  private final PushDesk desk;
  private final ExecutorService sending =
      Executors.newCachedThreadPool(
          task -> {
            var thread = new Thread(task, "opercle-push");
            thread.setDaemon(true);
            return thread;
          });

  public PushChannel(PushDesk desk) {
    this.desk = desk;
  }

  @Override
  public Delivery deliver(Message message) {
    Call call = message.call();
    List<PushSubscription> devices = desk.devicesOf(call.person());
    if (devices.isEmpty()) {
      return Delivery.refused("no device of " + call.person() + " has asked for notices");
    }
    PushNotice notice = notice(message);
    List<CompletableFuture<PushOutcome>> sent =
        devices.stream()
            .map(device -> CompletableFuture.supplyAsync(() -> sent(device, notice, call), sending))
            .toList();
    return delivery(sent.stream().map(CompletableFuture::join).toList());
  }

  /** What goes wrong with one device must not keep the others from being called. */
  private PushOutcome sent(PushSubscription device, PushNotice notice, Call call) {
    try {
      return desk.send(device, notice, urgency(call), lives(call));
    } catch (RuntimeException e) {
      log.error("a device of {} was not called", call.person(), e);
      return new PushOutcome.Unreached("A fault of Opercle's own; see its log.");
    }
  }

  @Override
  public void close() {
    sending.shutdownNow();
  }

  /** What the device shows. */
  static PushNotice notice(Message message) {
    Call call = message.call();
    Optional<AlarmEvent> first = call.about().stream().findFirst();
    boolean ofOne = first.isPresent() && call.about().size() == 1 && call.troubles().isEmpty();
    boolean ofMonitor = first.isEmpty() && !call.troubles().isEmpty();
    String path = ofOne ? "/tank/" + first.get().tank() : ofMonitor ? "/monitor" : "/";
    String together = call.occurrence().isEmpty() ? call.kind().name() : call.occurrence();
    return new PushNotice(
        message.subject(),
        call.driving() ? message.spoken() : message.body(),
        ofOne ? occurrence(first.get()) : together,
        call.kind() == Call.Kind.TEST
            ? "/device"
            : message.link().map(URI::getRawPath).orElse(path),
        first.map(AlarmEvent::time).orElse(call.made()),
        call.isUrgent(),
        call.kind() != Call.Kind.TAKEN && call.kind() != Call.Kind.ENDED);
  }

  private static String occurrence(AlarmEvent event) {
    return event.tank() + "/" + event.cause().id() + "/" + event.since();
  }

  /** That somebody has it must come as fast as the alarm: others may be on their way. */
  private static Urgency urgency(Call call) {
    return switch (call.kind()) {
      case ALARM, MONITOR, MORE, TAKEN, ENDED, TEST -> Urgency.HIGH;
      case NOTICE, MORNING -> Urgency.NORMAL;
    };
  }

  private static Duration lives(Call call) {
    return switch (call.kind()) {
      case ALARM, MONITOR, MORE, TAKEN, ENDED -> URGENT_LIVES;
      case NOTICE, MORNING -> NEWS_LIVES;
      case TEST -> TEST_LIVES;
    };
  }

  static Delivery delivery(List<PushOutcome> outcomes) {
    int taken = 0;
    boolean again = false;
    Optional<Duration> after = Optional.empty();
    List<String> reasons = new ArrayList<>();
    for (PushOutcome outcome : outcomes) {
      if (outcome instanceof PushOutcome.Taken) {
        taken++;
      } else if (outcome instanceof PushOutcome.Later later) {
        again = true;
        after =
            after
                .filter(a -> a.compareTo(later.retryAfter()) < 0)
                .or(() -> Optional.of(later.retryAfter()));
        reasons.add("what carries notices to it takes no more just now");
      } else if (outcome instanceof PushOutcome.Unreached unreached) {
        again = true;
        reasons.add(unreached.why());
      } else if (outcome instanceof PushOutcome.Refused refused) {
        reasons.add(refused.why());
      } else {
        reasons.add("the device takes no notices any longer");
      }
    }
    if (taken > 0) {
      return new Delivery.Accepted("%d of %d devices".formatted(taken, outcomes.size()));
    }
    return new Delivery.Failed(String.join("; ", reasons), again, again ? after : Optional.empty());
  }
}
