// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.BooleanSupplier;
import opercle.ingest.payload.Decoded;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.payload.Rejections;
import opercle.ingest.payload.SiteTopics;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;
import opercle.ingest.store.ArrivalLog;
import opercle.ingest.store.StoreException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * From the broker to the sinks: decodes what the probes send, hands it on in batches, and
 * acknowledges each message only when every sink has taken its readings.
 *
 * <p>A batch is whatever waits, up to {@value #MOST_IN_BATCH} messages: a lone reading is not held
 * up, a flood goes in large bites. A sink that throws is offered the same batch again, after a
 * tenth of a second, then twice as long each time, up to five seconds; sinks before it are not
 * offered it again. Meanwhile nothing is acknowledged, the broker keeps what comes, and {@link
 * #trouble} says why. Messages that are rejected are counted and acknowledged: they would not
 * become better.
 *
 * <p>After a crash the broker sends what was not acknowledged once more. Readings with a time of
 * their own then fall on the rows that they already have. Bare numbers do so too, as {@link
 * ArrivalLog} keeps the times of their first arrival, or the embedded broker notes them; limits are
 * in {@code ArrivalTimes}. A bare number that waited at another broker gets the time at which it
 * came through: probes that must bridge an outage should send SenML with times.
 *
 * <p>Threads: the library's callback thread puts messages into a queue as long as the receive
 * maximum, so that QoS 1 never fills it; QoS 0 messages that find it full are dropped and counted.
 * One thread of its own, {@code sensor-subscriber-…}, does the rest and is the only one that calls
 * sinks. All methods are safe for many threads.
 */
public final class SensorSubscriber implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(SensorSubscriber.class);

  /** The most messages that are handed to the sinks at once. */
  public static final int MOST_IN_BATCH = 2_000;

  /** How many messages the broker may send before one is acknowledged. */
  public static final int RECEIVE_MAXIMUM = 4_000;

  private static final Duration FIRST_RETRY = Duration.ofMillis(100);
  private static final Duration LONGEST_RETRY = Duration.ofSeconds(5);
  private static final long FINISH_TIMEOUT_MS = 10_000;
  private static final long LOOK_AGAIN_MS = 100;

  private final PayloadDecoder decoder;
  private final DeliveryReader reader;
  private final SensorFilters filters;
  private final List<ReadingSink> sinks;
  private final Optional<ArrivalLog> arrivalLog;
  private final Rejections rejections;
  private final ArrivalTimes arrivalTimes;
  private final Optional<BooleanSupplier> isAwaitingTanks;

  private final BlockingQueue<Delivery> queue = new LinkedBlockingQueue<>(RECEIVE_MAXIMUM);
  private final AtomicLong messages = new AtomicLong();
  private final AtomicLong readings = new AtomicLong();
  private final AtomicLong dropped = new AtomicLong();
  private final AtomicLong turns = new AtomicLong();
  private volatile OptionalLong busySince = OptionalLong.empty();
  private final CountDownLatch closing = new CountDownLatch(1);
  private final Thread thread;
  private final MqttLink link;
  private volatile Optional<String> trouble = Optional.empty();
  private volatile List<TopicMapping> assigned;

  private SensorSubscriber(Builder builder, PayloadDecoder decoder) {
    this.decoder = decoder;
    this.reader = new DeliveryReader(decoder);
    this.filters = new SensorFilters(decoder::topicFilters, builder.site, builder.shareName);
    this.sinks = List.copyOf(builder.sinks);
    this.arrivalLog = builder.arrivalLog;
    this.rejections = builder.rejections;
    this.isAwaitingTanks = builder.isAwaitingTanks;
    this.assigned = builder.assigned;
    decoder.assign(assigned);
    this.arrivalTimes =
        new ArrivalTimes(arrivalLog.map(ArrivalLog::latest).orElse(List.of()), RECEIVE_MAXIMUM);
    this.thread = new Thread(this::run, "sensor-subscriber-" + builder.settings.clientId());
    thread.setDaemon(true);
    thread.start();
    this.link =
        MqttLink.subscribe(
            builder.settings,
            filters.wanted(assigned),
            filters.fromBefore(assigned, builder.formerShares),
            new MqttLink.Inbox(1, true, RECEIVE_MAXIMUM, this::enqueue),
            builder.clock);
  }

  /** Starts the description of a subscriber. */
  public static Builder builder(MqttSettings settings, PayloadDecoder decoder) {
    return new Builder(settings, decoder);
  }

  /** What a subscriber needs to know. One thread only. */
  public static final class Builder {
    private final MqttSettings settings;
    private final PayloadDecoder decoder;
    private final List<ReadingSink> sinks = new ArrayList<>();
    private Optional<ArrivalLog> arrivalLog = Optional.empty();
    private Optional<String> shareName = Optional.empty();
    private Set<String> formerShares = Set.of();
    private List<TopicMapping> assigned = List.of();
    private Optional<SiteTopics> site = Optional.empty();
    private Rejections rejections = new Rejections();
    private InstantSource clock = InstantSource.system();
    private Optional<BooleanSupplier> isAwaitingTanks = Optional.empty();

    private Builder(MqttSettings settings, PayloadDecoder decoder) {
      this.settings = settings;
      this.decoder = decoder;
    }

    /** Adds a sink; they are called in the order of adding. */
    public Builder sink(ReadingSink sink) {
      sinks.add(sink);
      return this;
    }

    /** Where the times of arrival are kept over a crash, for at least the receive maximum. */
    public Builder arrivals(ArrivalLog log) {
      arrivalLog = Optional.of(log);
      return this;
    }

    /** Counts what is not taken; without it the subscriber has a counter of its own. */
    public Builder rejections(Rejections counter) {
      rejections = counter;
      return this;
    }

    /** Shares the messages with all subscribers of that group name (MQTT 5, 4.8.2). */
    public Builder sharedAs(String group) {
      shareName = Optional.of(group);
      return this;
    }

    /** Shares no more with these groups, in which an earlier run with that client id may be. */
    public Builder onceSharedAs(Set<String> groups) {
      formerShares = Set.copyOf(groups);
      return this;
    }

    /** Begins with these topics assigned: the broker may hold messages of them. */
    public Builder assigned(List<TopicMapping> mappings) {
      assigned = List.copyOf(mappings);
      return this;
    }

    /** Takes what comes on the topics of one site only, and on those assigned since. */
    public Builder only(SiteTopics topics) {
      site = Optional.of(topics);
      return this;
    }

    /** The clock for times of arrival. */
    public Builder clock(InstantSource source) {
      clock = source;
      return this;
    }

    /**
     * Holds a message of a tank or topic that is not known, and what comes after it, while this
     * says so: what makes it known may be on its way. Asked only then, on the subscriber's thread,
     * every tenth of a second until it says no, which it must within some seconds. Meanwhile the
     * message and what came after it is not acknowledged.
     */
    public Builder whileAwaitingTanks(BooleanSupplier isAwaiting) {
      isAwaitingTanks = Optional.of(isAwaiting);
      return this;
    }

    /** Starts the subscriber; does not wait for the broker. */
    public SensorSubscriber start() {
      return new SensorSubscriber(this, decoder);
    }
  }

  /** From now on takes these topics beside those of the settings, and none assigned before. */
  public void assign(List<TopicMapping> mappings) {
    assigned = List.copyOf(mappings);
    decoder.assign(mappings);
    link.listenTo(filters.wanted(assigned));
  }

  /** Whether messages of the topic belong to a tank of the farm, whatever they hold. */
  public boolean claims(String topic) {
    return decoder.claims(topic);
  }

  /** How the link to the broker stands. */
  public LinkState linkState() {
    return link.state();
  }

  /** Why a sink does not take readings at present, in words; empty if all is well. */
  public Optional<String> trouble() {
    return trouble;
  }

  /** What was not taken, and why. */
  public Rejections rejections() {
    return rejections;
  }

  /** How many messages have been dealt with and acknowledged. */
  public long messages() {
    return messages.get();
  }

  /** How many readings the sinks have taken; those delivered twice count twice. */
  public long readings() {
    return readings.get();
  }

  /** How many QoS 0 messages were dropped because the sinks did not keep up. */
  public long dropped() {
    return dropped.get();
  }

  /**
   * How often its thread has come round, with something to do or without; stands still where a sink
   * does not return.
   */
  public long turns() {
    return turns.get();
  }

  /** For how long the sinks have had the batch in hand; what came since waits as long. */
  public Duration behind() {
    OptionalLong since = busySince;
    return since.isPresent()
        ? Duration.ofNanos(System.nanoTime() - since.getAsLong())
        : Duration.ZERO;
  }

  /** On the library's callback thread. */
  private void enqueue(Delivery delivery) {
    if (delivery.qos() == 0) {
      if (!queue.offer(delivery)) {
        dropped.incrementAndGet();
      }
      return;
    }
    try {
      // Room for all that the broker may send; only QoS 0 messages in between can make this wait.
      while (!queue.offer(delivery, LOOK_AGAIN_MS, TimeUnit.MILLISECONDS)) {
        if (isClosing()) {
          return; // not acknowledged: it comes again
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  // ---- the subscriber's own thread

  private void run() {
    List<Delivery> batch = new ArrayList<>();
    try {
      while (!isClosing()) {
        Delivery first = queue.poll(LOOK_AGAIN_MS, TimeUnit.MILLISECONDS);
        turns.incrementAndGet();
        if (first != null) {
          busySince = OptionalLong.of(System.nanoTime());
          batch.add(first);
          queue.drainTo(batch, MOST_IN_BATCH - 1);
          if (!handOn(batch)) {
            return;
          }
          batch.clear();
          busySince = OptionalLong.empty();
        }
      }
    } catch (InterruptedException e) {
      // Closing did not want to wait any longer; the batch comes again.
    }
  }

  /** Whether the batch was taken by all and acknowledged; false only when closing. */
  private boolean handOn(List<Delivery> batch) throws InterruptedException {
    List<Reading> decoded = new ArrayList<>(batch.size());
    for (Delivery delivery : batch) {
      if (!decode(delivery, decoded)) {
        return false;
      }
    }
    if (arrivalLog.isPresent()) {
      var arrivals = arrivalTimes.takeUnrecorded();
      // Before the readings: after a crash between the two, the times are taken up again.
      if (!untilTaken("when they came cannot be kept", () -> arrivalLog.get().record(arrivals))) {
        return false;
      }
    } else {
      var unused = arrivalTimes.takeUnrecorded();
    }
    if (!decoded.isEmpty()) {
      List<Reading> unmodifiable = List.copyOf(decoded);
      for (ReadingSink sink : sinks) {
        if (!untilTaken("they cannot be taken in", () -> sink.accept(unmodifiable))) {
          return false;
        }
      }
    }
    batch.forEach(Delivery::acknowledge);
    messages.addAndGet(batch.size());
    readings.addAndGet(decoded.size());
    return true;
  }

  /** Whether the message is decoded; false only when closing. */
  private boolean decode(Delivery delivery, List<Reading> into) throws InterruptedException {
    Instant arrived = arrivalTimes.timeOf(delivery);
    Decoded decoded = reader.read(delivery, arrived);
    boolean mayBecomeKnown = isAwaitingTanks.isPresent() && DeliveryReader.isOfUnknown(decoded);
    while (mayBecomeKnown) {
      boolean isAwaiting = isAwaitingTanks.get().getAsBoolean();
      turns.incrementAndGet();
      if (isAwaiting && closing.await(LOOK_AGAIN_MS, TimeUnit.MILLISECONDS)) {
        return false;
      }
      decoded = reader.read(delivery, arrived); // also where it became known just before we asked
      mayBecomeKnown = isAwaiting && DeliveryReader.isOfUnknown(decoded);
    }
    into.addAll(decoded.readings());
    decoded.rejections().forEach(rejections::add);
    return true;
  }

  /** Tries until it works; false if closing came first. */
  @SuppressWarnings("CatchingUnchecked") // an Error must not silently end the one thread either
  private boolean untilTaken(String who, Runnable offer) throws InterruptedException {
    BackOff backOff = new BackOff(FIRST_RETRY, LONGEST_RETRY);
    while (true) {
      turns.incrementAndGet();
      try {
        offer.run();
        if (trouble.isPresent()) {
          LOG.info("Readings are taken again.");
          trouble = Optional.empty();
        }
        return true;
      } catch (RuntimeException | Error e) {
        String why = // ours are sentences; anything else is for the log alone
            e instanceof StoreException ? String.valueOf(e.getMessage()) : "the log says why";
        String words = "%s: %s".formatted(who, why);
        if (trouble.isEmpty()) {
          LOG.error("{}. Nothing is lost: the broker keeps what comes. Trying again.", words, e);
        }
        trouble = Optional.of(words);
      }
      if (closing.await(backOff.next().toMillis(), TimeUnit.MILLISECONDS)) {
        return false;
      }
    }
  }

  private boolean isClosing() {
    return closing.getCount() == 0;
  }

  /**
   * Finishes the batch in hand, waiting for sinks at most ten seconds, then leaves the broker. What
   * was not acknowledged comes again at the next start. The sinks are not closed.
   */
  @Override
  public void close() {
    closing.countDown();
    try {
      thread.join(FINISH_TIMEOUT_MS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    thread.interrupt();
    link.close();
  }
}
