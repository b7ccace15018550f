// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
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
 * wait in order, and past {@value #MOST_WAITING} of them the oldest goes and is counted.
 */
public final class MqttAnnouncer implements WatchListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(MqttAnnouncer.class);
  private static final int MOST_WAITING = 10_000;
  private static final long RETRY_MILLIS = 1_000;

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

  private record Message(String topic, String payload, boolean retained, boolean mustArrive) {}

  private final Object lock = new Object();
  private final Topics topics;
  private final Outlet outlet;
  private final Deque<Message> alarms = new ArrayDeque<>();
  private final Map<String, TankState> states = new LinkedHashMap<>();
  private final Thread thread;
  private final CountDownLatch closing = new CountDownLatch(1);
  private boolean closed;
  private boolean failing; // the thread's own
  private long dropped;

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
        alarms.add(new Message(topic, WatchJson.alarm(event), stands, true));
        if (!stands) {
          alarms.add(new Message(topic, "", true, true));
        }
      }
      while (alarms.size() > MOST_WAITING) {
        alarms.removeFirst();
        dropped++;
      }
      lock.notifyAll();
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

  /** How many alarm messages were given up because the broker was away for too long. */
  public long dropped() {
    synchronized (lock) {
      return dropped;
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

  private void publishAll() {
    while (true) {
      Message message = take();
      if (message == null || !offer(message)) {
        return;
      }
    }
  }

  private @Nullable Message take() {
    synchronized (lock) {
      try {
        while (!closed && alarms.isEmpty() && states.isEmpty()) {
          lock.wait();
        }
      } catch (InterruptedException e) {
        return null; // close() asks us to end
      }
      if (closed) {
        return null;
      }
      Message alarm = alarms.pollFirst();
      if (alarm != null) {
        return alarm;
      }
      Iterator<TankState> oldest = states.values().iterator();
      TankState state = oldest.next();
      oldest.remove();
      return new Message(topics.state(state.tank()), WatchJson.state(state), true, false);
    }
  }

  /** False when the announcer is to end. */
  private boolean offer(Message message) {
    try {
      outlet.publish(
          message.topic(), message.payload().getBytes(StandardCharsets.UTF_8), message.retained());
      if (failing) {
        failing = false;
        log.info("publishing again");
      }
      return true;
    } catch (RuntimeException e) {
      if (closing.getCount() == 0) {
        return false; // cut off by close(); that is no trouble to tell of
      }
      if (!failing) {
        failing = true;
        log.warn("cannot publish to the broker, will keep trying: {}", e.getMessage());
      }
      if (message.mustArrive()) { // a state need not be: the next second brings a newer one
        synchronized (lock) {
          alarms.addFirst(message);
        }
      }
      return waitedToRetry();
    }
  }

  private boolean waitedToRetry() {
    try {
      return !closing.await(RETRY_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      return false;
    }
  }
}
