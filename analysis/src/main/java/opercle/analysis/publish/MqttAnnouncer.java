// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.watch.TankState;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Tells MQTT what the watch says: each tank's state, retained, at most once a second; each alarm
 * event, retained while the alarm stands. An alarm that has ended is told once more, and then its
 * retained message is taken away.
 *
 * <p>Threads: the watch only leaves news here and goes on; one thread of our own publishes, alarms
 * first. While the broker is away a newer state replaces the older of the same tank, alarm events
 * wait in order, and past {@value #MOST_WAITING} of them the oldest goes and is counted. A topic
 * that the broker refuses twice in a row, by its rules perhaps, is set aside with all that comes
 * for it, tried again every few seconds, and shown as {@link #trouble}: it must not keep the others
 * waiting.
 */
public final class MqttAnnouncer implements WatchListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(MqttAnnouncer.class);
  private static final int MOST_WAITING = 10_000;
  private static final long RETRY_MILLIS = 1_000;
  private static final long REFUSED_RETRY_NANOS = TimeUnit.SECONDS.toNanos(5);

  /** Where messages go. */
  @FunctionalInterface
  public interface Outlet {

    /**
     * Publishes at QoS 1 and returns when the broker has it.
     *
     * @throws RuntimeException if it does not; the same message will be offered again
     */
    void publish(String topic, byte[] payload, boolean retained);
  }

  /** What is to be published; without an event it is a state, and the next will do as well. */
  private record Message(
      String topic, String payload, boolean retained, @Nullable AlarmEvent event) {}

  /** A topic that the broker does not take, and what waits for it. */
  private static final class Refused {
    private final Deque<Message> waiting = new ArrayDeque<>();
    private long retryAt;
    private String why;

    Refused(long retryAt, String why) {
      this.retryAt = retryAt;
      this.why = why;
    }
  }

  private final Object lock = new Object();
  private final Topics topics;
  private final Outlet outlet;
  private final Deque<Message> alarms = new ArrayDeque<>();
  private final Map<String, Refused> refused = new LinkedHashMap<>();
  private final Map<String, TankState> states = new LinkedHashMap<>();
  private final Thread thread;
  private final CountDownLatch closing = new CountDownLatch(1);
  private @Nullable Message underWay;
  private boolean closed;
  private boolean failing; // the thread's own
  private @Nullable Message failedLast; // the thread's own
  private long dropped;
  private final AtomicLong attempts = new AtomicLong();

  /** Starts publishing for a farm. */
  public MqttAnnouncer(Topics topics, Outlet outlet) {
    this.topics = topics;
    this.outlet = outlet;
    this.thread = new Thread(this::publishAll, "mqtt-announcer");
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void events(List<AlarmEvent> events) {
    synchronized (lock) {
      for (AlarmEvent event : events) {
        String topic = topics.alarm(event.tank(), event.cause());
        boolean stands = event.state() != AlarmState.NORMAL;
        add(new Message(topic, WatchJson.alarm(event), stands, event));
        if (!stands) {
          add(new Message(topic, "", true, event));
        }
      }
      lock.notifyAll();
    }
  }

  /** Behind what waits for the same topic already. Holds the lock. */
  private void add(Message message) {
    Refused aside = refused.get(message.topic());
    Deque<Message> queue = aside == null ? alarms : aside.waiting;
    queue.addLast(message);
    if (queue.size() > MOST_WAITING) {
      queue.removeFirst();
      dropped++;
    }
  }

  @Override
  public void states(List<TankState> news) {
    synchronized (lock) {
      for (TankState state : news) {
        states.put(state.tank(), state);
      }
      lock.notifyAll();
    }
  }

  /** A state that is retained for a tank that is gone would look alive for ever. */
  @Override
  public void described(Farm farm, Set<String> gone) {
    synchronized (lock) {
      for (String tank : gone) {
        states.remove(tank);
        add(new Message(topics.state(tank), "", true, null));
      }
      lock.notifyAll();
    }
  }

  @Override
  public List<AlarmEvent> pending() {
    Set<AlarmEvent> pending = new LinkedHashSet<>();
    synchronized (lock) {
      refused.values().forEach(r -> r.waiting.forEach(m -> add(pending, m)));
      add(pending, underWay);
      alarms.forEach(m -> add(pending, m));
    }
    return new ArrayList<>(pending);
  }

  private static void add(Set<AlarmEvent> pending, @Nullable Message message) {
    if (message != null && message.event() != null) {
      pending.add(message.event());
    }
  }

  /** How many alarm messages were given up because the broker did not take them for too long. */
  public long dropped() {
    synchronized (lock) {
      return dropped;
    }
  }

  /** What the broker does not take though it is there. */
  @Override
  public Optional<String> trouble() {
    synchronized (lock) {
      Iterator<Map.Entry<String, Refused>> all = refused.entrySet().iterator();
      if (!all.hasNext()) {
        return Optional.empty();
      }
      Map.Entry<String, Refused> first = all.next();
      return Optional.of(
          "alarms do not reach everybody: the hub does not take what is sent under %s%s: %s"
              .formatted(
                  first.getKey(),
                  refused.size() == 1
                      ? ""
                      : " and %d other names of alarms".formatted(refused.size() - 1),
                  first.getValue().why));
    }
  }

  /** Stops; what still waits is not published. */
  @Override
  public void close() {
    synchronized (lock) {
      closed = true;
      closing.countDown();
      lock.notifyAll();
    }
    thread.interrupt();
    try {
      thread.join(5_000);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /**
   * How many messages it has dealt with, taken by the broker or not; stands still where the broker
   * does not answer.
   */
  public long attempts() {
    return attempts.get();
  }

  private void publishAll() {
    while (true) {
      Message message = take();
      if (message == null || !offer(message)) {
        return;
      }
      attempts.incrementAndGet();
    }
  }

  private @Nullable Message take() {
    synchronized (lock) {
      try {
        while (!closed) {
          underWay = next(System.nanoTime());
          if (underWay != null) {
            return underWay;
          }
          if (refused.isEmpty()) {
            lock.wait();
          } else {
            lock.wait(RETRY_MILLIS);
          }
        }
      } catch (InterruptedException e) {
        return null; // close() asks us to end
      }
      return null;
    }
  }

  private @Nullable Message next(long now) {
    Message alarm = alarms.pollFirst();
    if (alarm != null) {
      return alarm;
    }
    for (Refused aside : refused.values()) {
      if (now - aside.retryAt >= 0 && !aside.waiting.isEmpty()) {
        aside.retryAt = now + REFUSED_RETRY_NANOS;
        return aside.waiting.removeFirst();
      }
    }
    Iterator<TankState> oldest = states.values().iterator();
    if (!oldest.hasNext()) {
      return null;
    }
    TankState state = oldest.next();
    oldest.remove();
    return new Message(topics.state(state.tank()), WatchJson.state(state), true, null);
  }

  /** False when the announcer is to end. */
  private boolean offer(Message message) {
    try {
      outlet.publish(
          message.topic(), message.payload().getBytes(StandardCharsets.UTF_8), message.retained());
    } catch (RuntimeException e) {
      return closing.getCount() > 0 && failed(message, String.valueOf(e.getMessage()));
    }
    synchronized (lock) {
      underWay = null;
      Refused taken = refused.remove(message.topic());
      if (taken != null) {
        taken.waiting.descendingIterator().forEachRemaining(alarms::addFirst);
        log.info("the broker takes {} again", message.topic());
      }
    }
    if (failing) {
      failing = false;
      log.info("publishing again");
    }
    failedLast = null;
    return true;
  }

  private boolean failed(Message message, String why) {
    boolean twice = message.equals(failedLast);
    failedLast = message;
    boolean wasAside;
    synchronized (lock) {
      underWay = null;
      Refused aside = refused.get(message.topic());
      wasAside = aside != null;
      if (aside != null) {
        aside.why = why;
        aside.waiting.addFirst(message);
      } else if (mustArrive(message) && twice) {
        setAside(message, why);
      } else if (mustArrive(message)) { // a state's next second brings a newer one
        alarms.addFirst(message);
      }
    }
    if (wasAside) {
      return true;
    }
    if (!failing) {
      failing = true;
      log.warn("cannot publish to the broker, will keep trying: {}", why);
    }
    return (twice && mustArrive(message)) || waitedToRetry();
  }

  /** Events, and the taking away of what is retained. */
  private static boolean mustArrive(Message message) {
    return message.event() != null || message.payload().isEmpty();
  }

  /** Holds the lock. */
  private void setAside(Message message, String why) {
    Refused aside = new Refused(System.nanoTime() + REFUSED_RETRY_NANOS, why);
    aside.waiting.add(message);
    for (Iterator<Message> it = alarms.iterator(); it.hasNext(); ) {
      Message other = it.next();
      if (other.topic().equals(message.topic())) {
        aside.waiting.addLast(other);
        it.remove();
      }
    }
    refused.put(message.topic(), aside);
    log.warn(
        "the broker does not take {} ({}); trying again every few seconds, the others go on",
        message.topic(),
        why);
  }

  private boolean waitedToRetry() {
    try {
      return !closing.await(RETRY_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      return false;
    }
  }
}
