// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A standing link to an MQTT 5 broker: it connects by itself, again and again, and takes up its
 * session where it was left.
 *
 * <p>Opening never waits for the broker. If the broker is away, or forgets the session, the link
 * says so once in the log and in {@link #state()}, and keeps trying: after a quarter of a second,
 * then twice as long each time, up to ten seconds. Subscriptions are made on the first connect and
 * whenever the broker has lost the session.
 *
 * <p>A QoS 1 publish is sent again on the next connection until the broker has acknowledged it, in
 * the order of publishing; so it may arrive twice. The unacknowledged ones are kept in memory: they
 * end with the process.
 *
 * <p>Threads: one of the link's own, {@code mqtt-link-…}, connects and re-sends; the client library
 * has four for each connection. All are gone when {@link #close} returns. Every method is safe for
 * many threads. Futures complete on the library's threads: do not block in what depends on them.
 */
public final class MqttLink implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(MqttLink.class);

  /** How many publishes may wait for the broker's acknowledgement. */
  public static final int MOST_UNACKNOWLEDGED = 1000;

  private static final Duration FIRST_RETRY = Duration.ofMillis(250);
  private static final Duration LONGEST_RETRY = Duration.ofSeconds(10);
  private static final long LOOK_AGAIN_MS = 1000;

  private final MqttSettings settings;
  private final Optional<Will> will;
  private final Optional<Inbox> inbox;
  private final InstantSource clock;
  private final Thread thread;

  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private final Outbox outbox = new Outbox(MOST_UNACKNOWLEDGED);
  private Optional<PahoConnection> connection = Optional.empty();
  private List<String> filters = List.of();
  private List<String> fromBefore = List.of();
  private LinkState state;
  private boolean closing;

  /**
   * Who gets what is subscribed to.
   *
   * @param qos 1, or 0 for what may be lost
   * @param keepsSession whether the broker is to keep for us what comes while we are away; if not,
   *     each connection begins anew, retained messages included
   * @param receiveMaximum how many messages the broker may send before one is acknowledged
   * @param listener gets each message on a thread of the library; must not wait for the link
   * @param lost runs after each connection has ended, on the link's own thread
   */
  record Inbox(
      int qos,
      boolean keepsSession,
      int receiveMaximum,
      Consumer<Delivery> listener,
      Runnable lost) {

    Inbox(int qos, boolean keepsSession, int receiveMaximum, Consumer<Delivery> listener) {
      this(qos, keepsSession, receiveMaximum, listener, () -> {});
    }
  }

  private MqttLink(
      MqttSettings settings, Optional<Will> will, Optional<Inbox> inbox, InstantSource clock) {
    this.settings = settings;
    this.will = will;
    this.inbox = inbox;
    this.clock = clock;
    this.state = new LinkState(false, Optional.empty(), clock.instant());
    this.thread = new Thread(this::run, "mqtt-link-" + settings.clientId());
    thread.setDaemon(true);
  }

  /** Opens a link to publish on. It has no session that would outlast the connection. */
  public static MqttLink open(MqttSettings settings) {
    return start(
        new MqttLink(settings, Optional.empty(), Optional.empty(), InstantSource.system()));
  }

  /** Opens a link to publish on, with a message to be published when it breaks. */
  public static MqttLink open(MqttSettings settings, Will will) {
    return start(
        new MqttLink(settings, Optional.of(will), Optional.empty(), InstantSource.system()));
  }

  /**
   * Opens a link that subscribes as well.
   *
   * @param fromBefore what the session may still be subscribed to from an earlier run: taken back
   *     on the first connection, unless it is wanted
   */
  static MqttLink subscribe(
      MqttSettings settings,
      List<String> filters,
      List<String> fromBefore,
      Inbox inbox,
      InstantSource clock) {
    MqttLink link = new MqttLink(settings, Optional.empty(), Optional.of(inbox), clock);
    link.fromBefore = List.copyOf(fromBefore);
    link.listenTo(filters);
    return start(link);
  }

  /**
   * Subscribes to these from now on and to no others; at once if there is a connection, else on the
   * next. Does not wait for the broker.
   */
  void listenTo(List<String> wanted) {
    lock.lock();
    try {
      filters = List.copyOf(wanted);
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  private static MqttLink start(MqttLink link) {
    link.thread.start();
    return link;
  }

  /** How the link stands now. */
  public LinkState state() {
    lock.lock();
    try {
      return state;
    } finally {
      lock.unlock();
    }
  }

  /**
   * Publishes. While {@value #MOST_UNACKNOWLEDGED} earlier publishes wait for their acknowledgement
   * this waits as well, and so may wait for as long as the broker is away.
   *
   * @param payload not copied; leave it as it is
   * @param qos 1, or 0 for a message that may be lost
   * @return completes when the broker has acknowledged the message (QoS 0: when it is on its way);
   *     fails with {@link MqttLinkException} if the broker refuses it, the link is closed, or, with
   *     QoS 0, there is no connection
   */
  public CompletableFuture<Void> publish(String topic, byte[] payload, int qos, boolean retained)
      throws InterruptedException {
    lock.lockInterruptibly();
    try {
      while (qos > 0 && outbox.isFull() && !closing) {
        changed.await();
      }
      return submit(new Outgoing(topic, payload, qos, retained));
    } finally {
      lock.unlock();
    }
  }

  /**
   * As {@link #publish}, but never waits: the future fails if {@value #MOST_UNACKNOWLEDGED} earlier
   * publishes still wait.
   */
  public CompletableFuture<Void> offer(String topic, byte[] payload, int qos, boolean retained) {
    lock.lock();
    try {
      Outgoing outgoing = new Outgoing(topic, payload, qos, retained);
      if (qos > 0 && outbox.isFull()) {
        outgoing.fail(
            "%d earlier messages wait for the broker's acknowledgement"
                .formatted(MOST_UNACKNOWLEDGED));
        return outgoing.done();
      }
      return submit(outgoing);
    } finally {
      lock.unlock();
    }
  }

  private CompletableFuture<Void> submit(Outgoing outgoing) {
    if (closing) {
      outgoing.fail("the link is closed");
    } else if (outgoing.qos() > 0) {
      outbox.add(outgoing);
      sendWaiting();
    } else if (connection.isEmpty()) {
      outgoing.fail("there is no connection");
    } else {
      send(connection.get(), outgoing, unused -> {});
    }
    return outgoing.done();
  }

  /** Hands over as many waiting messages as the broker allows in flight. Holds the lock. */
  private void sendWaiting() {
    if (connection.isPresent()) {
      outbox.sendWaiting(message -> send(connection.get(), message, this::settled));
    }
  }

  /** Whether the message was handed over; if not, it is to be tried again later. */
  private boolean send(PahoConnection to, Outgoing message, Consumer<Outgoing> settled) {
    try {
      to.publish(
          message.topic(),
          message.payload(),
          message.qos(),
          message.retained(),
          refusal -> {
            settled.accept(message);
            message.settle(refusal);
          });
      return true;
    } catch (PahoConnection.TooManyInFlightException e) {
      if (message.qos() == 0) {
        message.fail("the broker allows no more messages in flight");
      }
      return false;
    } catch (MqttLinkException e) {
      if (message.qos() == 0 || to.isConnected()) { // else it waits for the next connection
        settled.accept(message);
        message.fail(String.valueOf(e.getMessage()));
        return true;
      }
      return false;
    }
  }

  private void settled(Outgoing message) {
    lock.lock();
    try {
      outbox.remove(message);
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  // ---- the link's own thread

  private void run() {
    BackOff backOff = new BackOff(FIRST_RETRY, LONGEST_RETRY);
    int number = 0;
    List<String> subscribed = fromBefore.stream().filter(f -> !wanted().contains(f)).toList();
    while (!isClosing()) {
      number++;
      PahoConnection fresh = null;
      LostFlag lost = new LostFlag();
      try {
        fresh = connect(number, lost);
        if (!fresh.isResumed()) {
          subscribed = List.of();
        }
        subscribed = subscribe(fresh, subscribed);
        enterConnected(fresh);
        long start = System.nanoTime();
        while (whileConnected(lost, subscribed)) {
          subscribed = subscribe(fresh, subscribed);
        }
        // Two programs with one client id push each other out for ever; at least not quickly.
        if (System.nanoTime() - start > LONGEST_RETRY.toNanos()) {
          backOff.reset();
        }
      } catch (MqttLinkException e) {
        noteTrouble(String.valueOf(e.getMessage()));
        LOG.debug("the link to the MQTT broker", e);
      } catch (RuntimeException | Error e) { // the one thread must not end unseen
        noteTrouble("the link to the MQTT broker %s failed; the log says more".formatted(settings));
        LOG.error("the link to the MQTT broker failed", e);
      }
      leaveConnected();
      if (fresh != null) {
        if (isClosing()) {
          fresh.close();
        } else {
          fresh.abandon();
        }
        inbox.ifPresent(i -> i.lost().run());
      }
      pause(backOff.next());
    }
  }

  /** Brings the session from what it is subscribed to, to what is wanted. */
  private List<String> subscribe(PahoConnection to, List<String> has) {
    List<String> wanted = wanted();
    List<String> more = wanted.stream().filter(f -> !has.contains(f)).toList();
    List<String> less = has.stream().filter(f -> !wanted.contains(f)).toList();
    if (!more.isEmpty()) {
      to.subscribe(more, inbox.map(Inbox::qos).orElse(1));
    }
    if (!less.isEmpty()) {
      to.unsubscribe(less);
    }
    return wanted;
  }

  private List<String> wanted() {
    lock.lock();
    try {
      return filters;
    } finally {
      lock.unlock();
    }
  }

  private PahoConnection connect(int number, LostFlag lost) {
    int receiveMaximum = inbox.map(Inbox::receiveMaximum).orElse(MOST_UNACKNOWLEDGED);
    boolean keepsSession = inbox.map(Inbox::keepsSession).orElse(false);
    return PahoConnection.connect(
        settings, will, keepsSession, receiveMaximum, number, clock, lost);
  }

  private void enterConnected(PahoConnection fresh) {
    lock.lock();
    try {
      LOG.info("Connected to the MQTT broker {}", settings);
      connection = Optional.of(fresh);
      state = new LinkState(true, Optional.empty(), clock.instant());
      outbox.sendAllAgain();
      sendWaiting();
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** True when other topics are wanted; false when the connection is over. */
  private boolean whileConnected(LostFlag lost, List<String> subscribed) {
    lock.lock();
    try {
      while (!closing && lost.why.isEmpty()) {
        if (!filters.equals(subscribed)) {
          return true;
        }
        sendWaiting();
        var unused = changed.awaitNanos(Duration.ofMillis(LOOK_AGAIN_MS).toNanos());
      }
      if (!closing) {
        noteTrouble(
            "lost the connection to the MQTT broker %s: %s"
                .formatted(settings, lost.why.orElse("")));
      }
    } catch (InterruptedException e) {
      closing = true;
    } finally {
      lock.unlock();
    }
    return false;
  }

  private void leaveConnected() {
    lock.lock();
    try {
      connection = Optional.empty();
    } finally {
      lock.unlock();
    }
  }

  /** Keeps the words for {@link #state()}, and logs them unless they were the last ones too. */
  private void noteTrouble(String words) {
    lock.lock();
    try {
      if (!closing && !state.trouble().equals(Optional.of(words))) {
        Instant since = state.trouble().isPresent() ? state.since() : clock.instant();
        state = new LinkState(false, Optional.of(words), since);
        LOG.warn("{}. Trying again until it works.", words);
      }
    } finally {
      lock.unlock();
    }
  }

  private void pause(Duration time) {
    lock.lock();
    try {
      long left = time.toNanos();
      while (!closing && left > 0) {
        left = changed.awaitNanos(left);
      }
    } catch (InterruptedException e) {
      closing = true;
    } finally {
      lock.unlock();
    }
  }

  private boolean isClosing() {
    lock.lock();
    try {
      return closing;
    } finally {
      lock.unlock();
    }
  }

  /** What one connection tells: messages go to the listener, its end to the waiting thread. */
  private final class LostFlag implements PahoConnection.Events {
    private volatile Optional<String> why = Optional.empty();

    @Override
    public void arrived(Delivery delivery) {
      inbox.ifPresent(i -> i.listener().accept(delivery));
    }

    @Override
    public void lost(String reason) {
      why = Optional.of(reason);
      // The library may hold a lock of its own here, so ours is not waited for: whoever holds it
      // lets go soon, and the link's thread looks again within a second at the latest.
      if (lock.tryLock()) {
        try {
          changed.signalAll();
        } finally {
          lock.unlock();
        }
      }
    }
  }

  /**
   * Takes leave of the broker, so that the will is not published, and ends every thread. Publishes
   * that were not acknowledged fail. Calling it again does nothing.
   */
  @Override
  public void close() {
    lock.lock();
    try {
      closing = true;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
    boolean interrupted = false;
    while (thread.isAlive()) {
      try {
        thread.join();
      } catch (InterruptedException e) {
        interrupted = true; // closing has a bounded length: finish it first
      }
    }
    lock.lock();
    try {
      state = new LinkState(false, Optional.empty(), clock.instant());
      outbox.failAll("the link was closed before the broker acknowledged the message");
    } finally {
      lock.unlock();
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }
}
