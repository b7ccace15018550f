// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.BookException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Which devices are called, and calling them. A subscription that its push service says has ended
 * is forgotten, and that is logged. For any thread; methods wait for the disk or the network.
 */
public final class PushDesk {

  /** More devices than any farm has people. */
  static final int MOST_DEVICES = 100;

  private static final Logger log = LoggerFactory.getLogger(PushDesk.class);

  /** A test that arrives later than this would only puzzle. */
  private static final Duration TEST_LIVES = Duration.ofMinutes(2);

  private final String farm;
  private final PushKeys keys;
  private final EndpointRule rule;
  private final Subscriptions subscriptions;
  private final PushSender sender;
  private final InstantSource clock;

  /**
   * @param farm its name, for the test notice
   * @param rule which push services may be called
   * @param clock the real time, also where the farm's runs faster
   */
  public PushDesk(
      String farm,
      PushKeys keys,
      EndpointRule rule,
      Subscriptions subscriptions,
      InstantSource clock) {
    this.farm = farm;
    this.keys = keys;
    this.rule = rule;
    this.subscriptions = subscriptions;
    this.sender = new PushSender(keys, rule, clock);
    this.clock = clock;
  }

  /** What a browser must subscribe with, base64url. */
  public String publicKey() {
    return keys.publicKey();
  }

  /**
   * Takes a device on.
   *
   * @throws IllegalArgumentException with a sentence that says which field is wrong and why
   */
  public void subscribe(String endpoint, String p256dh, String auth, String person) {
    Instant now = clock.instant();
    PushSubscription asked = PushSubscription.of(endpoint, p256dh, auth, person, now);
    requireUsable(asked);
    rule.objection(asked.endpoint())
        .ifPresent(
            why -> {
              throw new IllegalArgumentException("endpoint: " + why + ".");
            });
    List<PushSubscription> all = subscriptions.all();
    boolean known = all.stream().anyMatch(one -> one.endpoint().equals(asked.endpoint()));
    if (!known && all.size() >= MOST_DEVICES) {
      throw new IllegalArgumentException(
          "endpoint: %d devices are called already, which is the most; stop notices on one first."
              .formatted(MOST_DEVICES));
    }
    subscriptions.keep(asked);
    log.info("notices: a device of {} is called from now on, through {}", person, asked.service());
  }

  /** Whether a device is called. */
  public boolean knows(URI endpoint) {
    return find(endpoint).isPresent();
  }

  /** Stops calling a device; nothing happens if it was not called. */
  public void unsubscribe(URI endpoint) {
    if (subscriptions.forget(endpoint)) {
      log.info("notices: a device is not called any longer, at its own wish");
    }
  }

  /** The devices of one person, by the name they gave; upper and lower case alike. */
  public List<PushSubscription> devicesOf(String person) {
    return subscriptions.all().stream()
        .filter(one -> one.person().equalsIgnoreCase(person.strip()))
        .toList();
  }

  /** All devices. */
  public List<PushSubscription> devices() {
    return subscriptions.all();
  }

  /** Sends the test notice to one device; empty if it is not called. */
  public Optional<PushOutcome> test(URI endpoint) {
    return find(endpoint)
        .map(to -> send(to, PushNotice.test(farm, clock.instant()), Urgency.HIGH, TEST_LIVES));
  }

  /**
   * Sends a notice to one device, and forgets the device if its push service says that it is gone.
   *
   * @param timeToLive how long it may wait for a device that is off
   */
  public PushOutcome send(
      PushSubscription to, PushNotice notice, Urgency urgency, Duration timeToLive) {
    PushOutcome outcome =
        sender.send(to, notice.json(), urgency, timeToLive, Optional.of(notice.occurrence()));
    if (outcome instanceof PushOutcome.Gone) {
      forget(to);
    } else if (outcome instanceof PushOutcome.Refused refused) {
      log.warn("notices: a device of {} was not called: {}", to.person(), refused.why());
    } else if (outcome instanceof PushOutcome.Unreached unreached) {
      log.warn("notices: a device of {} was not called: {}", to.person(), unreached.why());
    } else if (outcome instanceof PushOutcome.Later later) {
      log.warn("notices: {} takes no more for {} s", to.service(), later.retryAfter().toSeconds());
    }
    return outcome;
  }

  /** A key that is of no use is told to whoever asks now, not in the night. */
  private void requireUsable(PushSubscription asked) {
    try {
      var unused = keys.encrypted(new byte[0], asked);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException("keys.p256dh: " + e.getMessage() + ".", e);
    }
  }

  private void forget(PushSubscription gone) {
    try {
      subscriptions.forget(gone.endpoint());
      log.warn(
          "notices: a device of {} has left {}; it is not called any longer until it asks again",
          gone.person(),
          gone.service());
    } catch (BookException e) {
      log.warn("notices: a device of {} has left, and cannot be forgotten", gone.person(), e);
    }
  }

  private Optional<PushSubscription> find(URI endpoint) {
    return subscriptions.all().stream().filter(one -> one.endpoint().equals(endpoint)).findFirst();
  }
}
