// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.BookException;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Calling;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.CallingState.Health;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.News;
import opercle.analysis.calling.Target;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.dashboard.calling.CallBook.Entry;
import opercle.dashboard.calling.CallBook.What;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Calls people: news of the watch in, messages out by the channels.
 *
 * <p>What is to be sent is in the farm book before it is sent, so that after a crash it is sent
 * again under the same key. Where the book fails, people are called all the same, and {@link
 * #trouble} says so.
 *
 * <p>Threads: the watch's hands news over and never waits; one thread of our own thinks, once a
 * second and whenever there is news, and waits for the disk; each channel has at most two threads,
 * which wait for its network, and a queue of {@value #QUEUE} calls. A call for which that is full
 * has failed, and another way is taken.
 */
public final class CallingService implements WatchListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(CallingService.class);

  private static final int QUEUE = 50;
  private static final int SENDERS = 2;
  private static final long FINISH_SECONDS = 5;

  private final CallingPlan plan;
  private final Calling calling;
  private final Map<Target, Channel> channels;
  private volatile Words words;
  private final Optional<HaveLinks> links;
  private final CallBook book;
  private final InstantSource clock;
  private final BlockingQueue<News> news = new LinkedBlockingQueue<>();
  private final List<AlarmEvent> unsaved = new ArrayList<>();
  private final Map<Target, ThreadPoolExecutor> senders = new HashMap<>();
  private final Thread thinking;
  private volatile CallingState state;
  private volatile Optional<String> bookTrouble = Optional.empty();
  private volatile boolean closed;

  private CallingService(
      Farm farm,
      CallingPlan plan,
      Map<Target, Channel> channels,
      Optional<HaveLinks> links,
      CallBook book,
      InstantSource clock) {
    this.plan = plan;
    this.calling = new Calling(plan);
    this.channels = Map.copyOf(channels);
    this.words = new Words(farm);
    this.links = links;
    this.book = book;
    this.clock = clock;
    this.state =
        book.state().map(CallingState::resumed).orElse(CallingState.start(clock.instant()));
    this.channels.keySet().forEach(target -> senders.put(target, sender(target)));
    this.thinking = new Thread(this::think, "calling");
    thinking.setDaemon(true);
  }

  /**
   * Starts calling where it ended.
   *
   * @param channels of every person of the plan
   * @param links where people say that they have it; empty where there is no public address
   */
  public static CallingService start(
      Farm farm,
      CallingPlan plan,
      Map<Target, Channel> channels,
      Optional<HaveLinks> links,
      CallBook book,
      InstantSource clock) {
    CallingService service = new CallingService(farm, plan, channels, links, book, clock);
    service.thinking.start();
    return service;
  }

  @Override
  public void events(List<AlarmEvent> events) {
    synchronized (unsaved) {
      unsaved.addAll(events);
    }
    events.forEach(event -> news.add(new News.Happened(event)));
  }

  @Override
  public void states(List<TankState> states) {
    List<AlarmEvent> standing = new ArrayList<>();
    for (TankState tank : states) {
      for (Alarm alarm : tank.alarms()) {
        standing.add(standing(alarm, tank.timeInHand().likelyMinutes()));
      }
    }
    news.add(new News.Standing(standing));
  }

  private static AlarmEvent standing(Alarm alarm, OptionalDouble minutes) {
    AlarmEvent e = WatchService.standingSince(alarm);
    return new AlarmEvent(
        e.time(),
        e.tank(),
        e.cause(),
        e.event(),
        e.priority(),
        e.state(),
        minutes,
        e.oxygenMgPerL(),
        e.message(),
        e.since(),
        e.annunciated(),
        alarm.acknowledgedBy().or(alarm::by),
        e.until(),
        e.root(),
        e.tanks());
  }

  @Override
  public List<AlarmEvent> pending() {
    synchronized (unsaved) {
      return List.copyOf(unsaved);
    }
  }

  /** From now on tanks are called what the keeper calls them now. */
  @Override
  public void described(Farm farm, Set<String> gone) {
    words = new Words(farm);
  }

  /** A channel that does not work, or the book; empty if people can be called. */
  @Override
  public Optional<String> trouble() {
    Optional<String> failed = bookTrouble;
    if (failed.isPresent()) {
      return failed;
    }
    List<String> dead = new ArrayList<>();
    CallingState now = state;
    for (Target target : targets()) {
      Health health = now.channels().get(target.id());
      if (health != null && health.isDoubtful()) {
        dead.add(
            "%s cannot be reached by %s: %s"
                .formatted(target.person(), target.channel(), health.trouble().orElse("")));
      }
    }
    return dead.isEmpty()
        ? Optional.empty()
        : Optional.of(
            dead.get(0)
                + (dead.size() > 1 ? " (and %d more ways)".formatted(dead.size() - 1) : ""));
  }

  /** Somebody takes the wheel, or leaves it. */
  public void driving(String person, boolean driving) {
    requirePerson(person);
    news.add(new News.Driving(person, driving));
  }

  /**
   * Tests channels of a person now, the way an alarm would go.
   *
   * @param channel that one alone; empty: all of them
   * @throws IllegalArgumentException if there is no such person or channel
   */
  public void test(String person, String by, Optional<String> channel) {
    requirePerson(person);
    if (channel.isPresent() && !channels.containsKey(new Target(person, channel.get()))) {
      throw new IllegalArgumentException(
          "\"%s\" cannot be called by \"%s\"".formatted(person, channel.get()));
    }
    news.add(new News.TestWanted(person, by, channel));
  }

  private void requirePerson(String person) {
    if (plan.people().stream().noneMatch(p -> p.name().equals(person))) {
      throw new IllegalArgumentException("nobody called \"%s\" can be called".formatted(person));
    }
  }

  /** The plan that it goes by. */
  public CallingPlan plan() {
    return plan;
  }

  /** What it knows just now. */
  public CallingState state() {
    return state;
  }

  private List<Target> targets() {
    return plan.people().stream()
        .flatMap(p -> p.channels().stream().map(c -> new Target(p.name(), c)))
        .toList();
  }

  /** Ends calling; what is not sent yet is sent after the next start. */
  @Override
  public void close() {
    closed = true;
    thinking.interrupt();
    try {
      thinking.join(TimeUnit.SECONDS.toMillis(FINISH_SECONDS));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    senders.values().forEach(ThreadPoolExecutor::shutdownNow);
  }

  private void think() {
    while (!closed) {
      List<News> batch = new ArrayList<>();
      try {
        News first = news.poll(1, TimeUnit.SECONDS);
        if (first != null) {
          batch.add(first);
        }
      } catch (InterruptedException e) {
        return;
      }
      news.drainTo(batch);
      try {
        turn(batch);
      } catch (RuntimeException e) {
        log.error("calling stumbled; it goes on", e);
      }
    }
  }

  private void turn(List<News> batch) {
    Instant now = clock.instant();
    CallingState before = state;
    Calling.Step step = calling.advance(before, now, batch);
    state = step.state();
    Map<Call, Message> messages = new LinkedHashMap<>();
    step.toSend().forEach(call -> messages.put(call, message(call)));
    if (isWorthKeeping(before, step, batch)) {
      keep(step, batch, now);
    }
    forgetSaved(batch);
    messages.forEach(this::send);
  }

  /** A second in which nothing happened is not worth a write. */
  private static boolean isWorthKeeping(CallingState before, Calling.Step step, List<News> batch) {
    CallingState after = step.state();
    return batch.stream().anyMatch(n -> !(n instanceof News.Standing))
        || !step.toSend().isEmpty()
        || !step.made().isEmpty()
        || !before.alarms().keySet().equals(after.alarms().keySet())
        || !before.waiting().equals(after.waiting())
        || !before.nextTest().equals(after.nextTest());
  }

  private void keep(Calling.Step step, List<News> batch, Instant now) {
    Map<Call, String> made = new LinkedHashMap<>();
    List<Entry> entries = new ArrayList<>();
    List<AlarmEvent> acknowledged = new ArrayList<>();
    for (News item : batch) {
      if (item instanceof News.Result result) {
        entries.add(entry(result, now));
      } else if (item instanceof News.Happened happened
          && happened.event().event() == AlarmEvent.Kind.ACKNOWLEDGED) {
        acknowledged.add(happened.event());
      }
    }
    for (Call call : step.made()) {
      made.put(call, words.subject(call));
      entries.add(new Entry(call.key(), now, What.QUEUED, Optional.empty()));
    }
    for (Call call : step.toSend()) {
      entries.add(new Entry(call.key(), now, What.SENT, Optional.empty()));
    }
    try {
      book.keep(step.state(), made, entries, acknowledged);
      bookTrouble = Optional.empty();
    } catch (BookException e) {
      if (bookTrouble.isEmpty()) {
        log.error("people are called, but it is not kept", e);
      }
      bookTrouble =
          Optional.of("people are called, but a restart would forget whom: " + e.getMessage());
    }
  }

  private static Entry entry(News.Result result, Instant now) {
    if (result.delivery() instanceof Delivery.Failed failed) {
      return new Entry(result.key(), now, What.FAILED, Optional.of(failed.reason()));
    }
    Delivery.Accepted accepted = (Delivery.Accepted) result.delivery();
    return new Entry(result.key(), now, What.ACCEPTED, Optional.of(accepted.words()));
  }

  private void forgetSaved(List<News> batch) {
    synchronized (unsaved) {
      for (News item : batch) {
        if (item instanceof News.Happened happened) {
          unsaved.remove(happened.event());
        }
      }
    }
  }

  private Message message(Call call) {
    Optional<URI> link =
        call.driving() || !isToHave(call)
            ? Optional.empty()
            : links.map(
                l -> l.link(call.person(), call.about().get(0), clock.instant(), call.key()));
    return words.message(call, link);
  }

  private static boolean isToHave(Call call) {
    return call.kind() == Call.Kind.ALARM || call.kind() == Call.Kind.NOTICE;
  }

  private void send(Call call, Message message) {
    Target target = new Target(call.person(), call.channel());
    Channel channel = channels.get(target);
    ThreadPoolExecutor sender = senders.get(target);
    if (channel == null || sender == null) {
      result(call, Delivery.refused("it is no longer in the configuration"));
      return;
    }
    try {
      sender.execute(() -> result(call, delivered(channel, message)));
    } catch (RejectedExecutionException e) {
      result(call, Delivery.failed("too much is waiting for it already"));
    }
  }

  private Delivery delivered(Channel channel, Message message) {
    try {
      return channel.deliver(message);
    } catch (RuntimeException e) {
      log.error("the channel {} stumbled", message.call().channel(), e);
      return Delivery.failed("Opercle's own fault: " + e.getClass().getSimpleName());
    }
  }

  private void result(Call call, Delivery delivery) {
    if (closed) {
      return; // it is sent again after the next start, and known by its key
    }
    if (delivery instanceof Delivery.Failed failed) {
      log.warn("{} was not reached by {}: {}", call.person(), call.channel(), failed.reason());
    } else {
      log.info("{} was told by {}: {}", call.person(), call.channel(), words.subject(call));
    }
    news.add(new News.Result(call.key(), delivery));
  }

  private static ThreadPoolExecutor sender(Target target) {
    ThreadPoolExecutor sender =
        new ThreadPoolExecutor(
            SENDERS,
            SENDERS,
            Duration.ofMinutes(1).toMillis(),
            TimeUnit.MILLISECONDS,
            new ArrayBlockingQueue<>(QUEUE),
            task -> {
              Thread thread = new Thread(task, "call-" + target.channel());
              thread.setDaemon(true);
              return thread;
            });
    sender.allowCoreThreadTimeOut(true);
    return sender;
  }
}
