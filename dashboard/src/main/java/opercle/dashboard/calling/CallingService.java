// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Calling;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.CallingState.Health;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.MonitorCause;
import opercle.analysis.calling.News;
import opercle.analysis.calling.Target;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleEvent;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.watch.TankState;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.dashboard.monitor.TroubleListener;
import opercle.dashboard.web.MonitorState;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Calls people: news of the watch and of the monitor itself in, messages out by the channels.
 *
 * <p>What is to be sent is in the farm book before it is sent, so that after a crash it is sent
 * again under the same key. Where the book fails, or does not answer within a few seconds, people
 * are called all the same, and {@link #trouble} says so.
 *
 * <p>Threads: the watch's hands news over and never waits; one thread of our own thinks, once a
 * second and whenever there is news; {@link CallKeeper} waits for the disk, {@link Senders} wait
 * for the network.
 */
public final class CallingService implements WatchListener, TroubleListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(CallingService.class);

  private static final long FINISH_SECONDS = 5;

  private volatile Calling calling;
  private final Senders senders;
  private volatile Words words;
  private volatile Consumer<Call> onTest = call -> {};
  private volatile boolean stocked;
  private final CallLinks links;
  private final CallKeeper keeper;
  private final InstantSource clock;

  /** What came together stays together: half of it may call for what the other half ends. */
  private final BlockingQueue<List<News>> news = new LinkedBlockingQueue<>();

  private final List<AlarmEvent> unsaved = new ArrayList<>();
  private final Thread thinking;
  private final AtomicLong turns = new AtomicLong();
  private volatile CallingState state;
  private volatile Optional<String> bookTrouble = Optional.empty();
  private volatile Optional<String> stumbled = Optional.empty();
  private volatile boolean closed;

  private CallingService(
      Farm farm,
      CallingPlan plan,
      Map<Target, Channel> channels,
      Optional<HaveLinks> links,
      CallBook book,
      InstantSource clock) {
    this.calling = new Calling(plan);
    this.senders = new Senders(channels, this::result);
    this.words = new Words(farm);
    this.stocked = isStocked(farm);
    this.links = new CallLinks(links);
    this.keeper = new CallKeeper(book);
    this.clock = clock;
    this.state =
        book.state()
            .map(s -> s.resumed(clock.instant()))
            .orElse(CallingState.start(clock.instant()));
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
    news.add(events.stream().<News>map(News.Happened::new).toList());
  }

  @Override
  public void states(List<TankState> states) {
    news.add(List.of(new News.Standing(Standing.of(states))));
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
    stocked = isStocked(farm);
  }

  private static boolean isStocked(Farm farm) {
    return farm.tanks().stream().anyMatch(Tank::isStocked);
  }

  @Override
  public void looked(List<TroubleEvent> events, List<MonitorTrouble> standing) {
    news.add(List.of(new News.Troubles(standing, stocked)));
  }

  /**
   * Somebody has a trouble of the monitor itself.
   *
   * @param key {@link MonitorCause#key}
   */
  void had(String key, String person) {
    news.add(List.of(new News.Had(key, person)));
  }

  /**
   * The same, by the trouble's id.
   *
   * @return whether people are called for such a trouble, or were until they had it
   */
  boolean hadTrouble(String id, String person) {
    Optional<MonitorCause> cause =
        state.monitor().values().stream()
            .filter(c -> c.urgent() && !c.over())
            .filter(c -> c.troubles().stream().anyMatch(t -> t.key().id().equals(id)))
            .findFirst();
    cause.ifPresent(c -> had(c.key(), person));
    return cause.isPresent();
  }

  /** Standing troubles of the monitor that people are called for, or were until one had it. */
  public List<MonitorState.Called> calledForTheMonitor() {
    return state.monitor().values().stream()
        .filter(c -> c.urgent() && c.stands())
        .sorted(Comparator.comparing(MonitorCause::since))
        .map(
            c ->
                new MonitorState.Called(
                    c.troubles().get(0).key().id(),
                    MonitorWords.title(c.troubles().get(0)) + ".",
                    c.by()))
        .toList();
  }

  /** A channel that does not work, or the book; empty if people can be called. */
  @Override
  public Optional<String> trouble() {
    return stumbled.or(() -> bookTrouble).or(this::deadChannel);
  }

  /** A channel that does not work, and how many more do not. */
  public Optional<String> deadChannel() {
    List<String> dead = new ArrayList<>();
    CallingState now = state;
    for (Target target : targets()) {
      Health health = now.channels().get(target.id());
      if (health != null && health.isDoubtful()) {
        dead.add(
            "%s cannot be reached by %s: %s"
                .formatted(
                    target.person(),
                    ChannelWords.of(target.channel()),
                    health.trouble().orElse("")));
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
    news.add(List.of(new News.Driving(person, driving)));
  }

  /**
   * Tests channels of a person now, the way an alarm would go.
   *
   * @param channel that one alone; empty: all of them
   * @throws IllegalArgumentException if there is no such person or channel
   */
  public void test(String person, String by, Optional<String> channel) {
    requirePerson(person);
    if (channel.isPresent() && !senders.has(new Target(person, channel.get()))) {
      throw new IllegalArgumentException(
          "\"%s\" cannot be called by \"%s\"".formatted(person, channel.get()));
    }
    news.add(List.of(new News.TestWanted(person, by, channel)));
  }

  private void requirePerson(String person) {
    if (plan().people().stream().noneMatch(p -> p.name().equals(person))) {
      throw new IllegalArgumentException("nobody called \"%s\" can be called".formatted(person));
    }
  }

  /**
   * From now on other people are called, or by other ways. Calls that are on their way go where
   * their person is called now.
   *
   * @param channels of every person of the settings
   */
  public void become(CallingSettings before, CallingSettings after, Map<Target, Channel> channels) {
    Map<Target, Way> was = before.ways();
    Map<Target, Way> is = after.ways();
    Set<Target> changed = new HashSet<>(was.keySet());
    changed.addAll(is.keySet());
    changed.removeIf(target -> Objects.equals(was.get(target), is.get(target)));
    senders.become(channels);
    calling = new Calling(after.plan());
    news.add(List.of(new News.Changed(changed)));
  }

  /**
   * From now on, who is told when people's ways are tested, once for all of them together.
   *
   * @param listener must not wait
   */
  public void onTest(Consumer<Call> listener) {
    onTest = listener;
  }

  /** How often it has thought; stands still where it is stuck, or has ended. */
  public long turns() {
    return turns.get();
  }

  /** The plan that it goes by. */
  public CallingPlan plan() {
    return calling.plan();
  }

  /** What it knows just now. */
  public CallingState state() {
    return state;
  }

  private List<Target> targets() {
    return plan().people().stream()
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
    senders.close();
    keeper.close();
  }

  private void think() {
    while (!closed) {
      List<News> batch = new ArrayList<>();
      try {
        List<News> first = news.poll(1, TimeUnit.SECONDS);
        if (first != null) {
          batch.addAll(first);
        }
      } catch (InterruptedException e) {
        return;
      }
      for (List<News> more = news.poll(); more != null; more = news.poll()) {
        batch.addAll(more);
      }
      try {
        turn(batch);
        stumbled = Optional.empty();
      } catch (RuntimeException e) {
        log.error("calling stumbled; it goes on", e);
        stumbled = Optional.of("people may not be called: " + CallKeeper.OUR_FAULT);
      }
      turns.incrementAndGet();
    }
  }

  private void turn(List<News> batch) {
    Instant now = clock.instant();
    CallingState before = state;
    Calling.Step step = calling.advance(before, now, batch);
    state = step.state();
    Map<Call, Message> messages = new LinkedHashMap<>();
    step.toSend().forEach(call -> messages.put(call, words.message(call, links.to(call))));
    try {
      if (keeper.owes() || CallKeeper.isWorthKeeping(before, step, batch)) {
        keep(CallKeeper.Kept.of(step, batch, now, words::subject));
      }
      forgetSaved(batch);
    } finally { // whatever goes wrong with keeping it, people are called
      messages.forEach(senders::send);
      step.made().stream().filter(c -> c.kind() == Call.Kind.TEST).findFirst().ifPresent(onTest);
    }
  }

  private void keep(CallKeeper.Kept what) {
    Optional<String> why = keeper.keep(what);
    if (why.isPresent() && bookTrouble.isEmpty()) {
      log.error("people are called, but it is not kept: {}", why.get());
    }
    bookTrouble = why.map(w -> "people are called, but a restart would forget whom: " + w);
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

  private void result(Call call, Delivery delivery) {
    if (closed) {
      return; // it is sent again after the next start, and known by its key
    }
    if (delivery instanceof Delivery.Failed failed) {
      log.warn("{} was not reached by {}: {}", call.person(), call.channel(), failed.reason());
    } else {
      log.info("{} was told by {}: {}", call.person(), call.channel(), words.subject(call));
    }
    news.add(List.of(new News.Result(call.key(), delivery)));
  }
}
