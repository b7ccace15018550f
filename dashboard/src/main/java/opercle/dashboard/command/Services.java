// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import io.javalin.config.RoutesConfig;
import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import java.util.function.Predicate;
import java.util.function.Supplier;
import java.util.stream.Stream;
import opercle.analysis.book.AlarmHistory;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.MappingRecords;
import opercle.analysis.book.TankEventHistory;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.publish.AlarmLog;
import opercle.analysis.publish.MqttAnnouncer;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.publish.WatchService;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.ProbeDesk;
import opercle.analysis.setup.TripDoor;
import opercle.dashboard.calling.CallingService;
import opercle.dashboard.monitor.Leg;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.monitor.TroubleListener;
import opercle.dashboard.push.BookedSubscriptions;
import opercle.dashboard.push.EndpointRule;
import opercle.dashboard.push.PushDesk;
import opercle.dashboard.push.PushKeys;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import opercle.dashboard.web.Traces;
import opercle.dashboard.web.TripRoutes;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.payload.Rejections;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.payload.UnknownTopics;
import opercle.ingest.reading.ReadingSink;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.store.IntakeStore;
import opercle.ingest.store.ReadingStore;
import opercle.ingest.store.SpooledReadings;
import opercle.ingest.store.SqliteReadings;
import org.jspecify.annotations.Nullable;

/**
 * Starts the parts that the commands are made of, each once, and hands them to {@link RunningParts}
 * to be stopped. The commands differ only in which parts they start.
 */
final class Services {

  /** The name of the session by which readings come in. */
  static final String FRONT_DOOR = "serve";

  /** How many times of arrival a front door keeps over a crash. */
  static final int ARRIVALS_KEPT = 2 * SensorSubscriber.RECEIVE_MAXIMUM;

  private final RunningParts parts;
  private final Farm described;
  private final InstantSource clock;
  private final Topics topics;
  private @Nullable Outward outward;
  private @Nullable FarmDesk desk;
  private List<TopicMapping> assignedBefore = List.of();
  private Optional<FarmOverMqtt> farmOverMqtt = Optional.empty();
  private Optional<FarmBook> bookElsewhere = Optional.empty();
  private Optional<CallingService> caller = Optional.empty();
  private Optional<Supplier<SpooledReadings.State>> spooled = Optional.empty();

  /**
   * @param farm as its file describes it
   */
  Services(RunningParts parts, Farm farm, InstantSource clock) {
    this.parts = parts;
    this.described = farm;
    this.clock = clock;
    this.topics = new Topics(farm.name());
  }

  /**
   * The farm in force, which can be changed from now on.
   *
   * @param fileName what to call the file that describes it
   */
  FarmDesk desk(FarmBook book, String fileName) {
    FarmDesk opened = FarmDesk.open(new FarmRecords(book), described, fileName, clock);
    desk = opened;
    return opened;
  }

  /**
   * Which topic feeds which tank, changed while readings come; and an ear for topics that nobody
   * claims, on a session of its own, so that no flood of theirs holds up a probe.
   *
   * @param settings of the broker
   */
  ProbeDesk probes(
      MqttSettings settings, FarmBook book, FarmDesk farm, SensorSubscriber subscriber) {
    UnknownTopics unknown = new UnknownTopics();
    ProbeDesk probes = new ProbeDesk(new MappingRecords(book), farm, unknown, clock);
    probes.follow(subscriber::assign);
    farmOverMqtt.ifPresent(over -> probes.follow(over::assigned));
    parts.add(new LookOut(unknown, subscriber, clock).open(Sessions.named(settings, "look-out")));
    return probes;
  }

  /** The farm in force as another process tells it. */
  HeardFarm heardFarm(MqttSettings settings) {
    HeardFarm heard = new HeardFarm(described);
    parts.add(
        TopicListener.open(Sessions.named(settings, "farm"), List.of(heard.topic()), heard::heard));
    return heard;
  }

  private Farm farm() {
    @Nullable FarmDesk open = desk;
    return open == null ? described : open.farm();
  }

  private Predicate<String> knownTank() {
    @Nullable FarmDesk open = desk;
    return open == null ? described.tankIds()::contains : open::hasTank;
  }

  /** The embedded broker, for everybody on this machine; its files are in the folder. */
  EmbeddedBroker broker(Path dataFolder, int port) {
    return broker(dataFolder, BrokerDoor.onLoopback(port));
  }

  /** The embedded broker; publishers wait for the front door. Its files are in the folder. */
  EmbeddedBroker broker(Path dataFolder, BrokerDoor door) {
    Set<String> keptWhole = Set.of(Sessions.OWN_CLIENT + "-" + FRONT_DOOR);
    return parts.add(
        EmbeddedBroker.start(door.settings(dataFolder.resolve("broker")).keepingWhole(keptWhole)));
  }

  /** The readings store, to write and read. */
  SqliteReadings store(Path dataFolder) {
    return parts.add(SqliteReadings.open(Stores.sqliteFile(dataFolder)));
  }

  /** The readings store, to write and read, which deletes what the keeper wants no longer. */
  IntakeStore store(Path dataFolder, StoreSettings settings) {
    return store(dataFolder, settings, false);
  }

  /**
   * The same for one of several that take the readings between them.
   *
   * @param isShared whether it is one of several
   */
  IntakeStore store(Path dataFolder, StoreSettings settings, boolean isShared) {
    DataDisk.requireRoom(dataFolder);
    IntakeStore store = Stores.open(parts, dataFolder, settings, isShared, clock);
    if (store instanceof SpooledReadings spool) {
      spooled = Optional.of(spool::state);
    }
    return store;
  }

  /** How the spool before an InfluxDB is; empty where there is none. */
  Optional<Supplier<SpooledReadings.State>> spooled() {
    return spooled;
  }

  /** How the spool before an InfluxDB is just now; empty where there is none. */
  Supplier<Optional<MonitorState.Spool>> spool(Path dataFolder) {
    return () -> spooled.map(state -> Stores.spool(state.get(), dataFolder, clock.instant()));
  }

  /** The farm book, to write and read; where its server is away, once that answers. */
  FarmBook book(BookPlace place) {
    FarmBook book =
        parts.add(
            BookWait.untilThere(
                () -> FarmBook.open(place), time -> TimeUnit.MILLISECONDS.sleep(time.toMillis())));
    bookElsewhere = Optional.of(book).filter(b -> place.isElsewhere());
    assignedBefore =
        ProbeDesk.inForce(new MappingRecords(book)).stream()
            .map(MappingRecords.Assigned::mapping)
            .toList();
    return book;
  }

  /** Calling of people, with links to the pages. */
  PeopleCalled calling(Configuration c, FarmBook book, PushDesk push, Optional<URI> pages) {
    var called = PeopleCalled.start(parts, c, farm(), book, push, pages, clock);
    caller = Optional.of(called.service()); // for the self-watch
    return called;
  }

  /**
   * The watch, telling MQTT, the farm book and the log what it says, and taking what people do from
   * MQTT.
   *
   * @param settings of the broker; the client ids are derived from its
   * @param dataFolder where it keeps its memory
   * @param store what it may learn from before it says anything; empty where there is none
   * @param book where its alarms are kept
   */
  WatchService watch(
      MqttSettings settings, Path dataFolder, Optional<ReadingStore> store, FarmBook book) {
    return watch(settings, dataFolder, store, book, List.of());
  }

  /**
   * The same, telling others too.
   *
   * @param others told last
   */
  WatchService watch(
      MqttSettings settings,
      Path dataFolder,
      Optional<ReadingStore> store,
      FarmBook book,
      List<WatchListener> others) {
    MonitorStatus status = new MonitorStatus(topics, clock);
    MqttLink link = parts.add(MqttLink.open(Sessions.named(settings, "announce"), status.will()));
    MqttAnnouncer announcer =
        parts.add(
            new MqttAnnouncer(
                topics, (topic, payload, retained) -> publish(link, topic, payload, retained)));
    outward = new Outward(link, announcer, status);
    AlarmHistory history = parts.add(new AlarmHistory(book, described.name()));
    TankEventHistory events = parts.add(new TankEventHistory(book, described.name()));
    StaleAlarms stale = new StaleAlarms(topics, clock, link);
    @Nullable FarmDesk changed = desk;
    List<WatchListener> overMqtt = new ArrayList<>();
    farmOverMqtt = Optional.ofNullable(changed).map(farm -> new FarmOverMqtt(farm, topics, link));
    farmOverMqtt.ifPresent(overMqtt::add);
    List<WatchListener> listeners =
        Stream.concat(
                Stream.of(new AlarmLog(), history, events, announcer, status.on(link), stale),
                Stream.concat(overMqtt.stream(), others.stream()))
            .toList();
    WatchService watch =
        parts.add(WatchService.resume(farm(), clock, memory(dataFolder), store, listeners));
    if (changed != null) {
      changed.follow(version -> watch.describe(version.farm(), version.by()));
    }
    // Only now: what is changed before the watch follows would be told as done and not be so.
    farmOverMqtt.ifPresent(farm -> parts.add(farm.listen(Sessions.named(settings, "farm-change"))));
    parts.add(
        new ActsOverMqtt(watch, topics, link, stale)
            .listen(Sessions.named(settings, "acknowledge")));
    parts.add(() -> status.farewell(link));
    return watch;
  }

  private static WatchMemory memory(Path dataFolder) {
    try {
      return WatchMemory.in(dataFolder);
    } catch (IOException e) {
      throw new UnusableInputException(
          new Problem(
              dataFolder.toString(), 0, "", "cannot be used as dataFolder: " + e.getMessage()));
    }
  }

  /** The front door: from the broker to the sinks. */
  SensorSubscriber subscriber(
      MqttSettings settings,
      List<TopicMapping> mappings,
      Rejections rejections,
      Optional<IntakeStore> store,
      List<ReadingSink> others) {
    return subscriber(settings, mappings, rejections, store, others, Apart.TOGETHER);
  }

  /**
   * The front door of a service that divides the work with others.
   *
   * @param apart how
   */
  SensorSubscriber subscriber(
      MqttSettings settings,
      List<TopicMapping> mappings,
      Rejections rejections,
      Optional<IntakeStore> store,
      List<ReadingSink> others,
      Apart apart) {
    PayloadDecoder decoder = new PayloadDecoder(knownTank(), mappings);
    SensorSubscriber.Builder builder =
        SensorSubscriber.builder(settings, decoder)
            .rejections(rejections)
            .clock(clock)
            .assigned(assignedBefore);
    store.ifPresent(s -> builder.sink(s).arrivals(s.arrivals(ARRIVALS_KEPT)));
    others.forEach(builder::sink);
    apart.chosen().ifPresent(chosen -> builder.only(chosen.site().topics()));
    return parts.add(builder.start());
  }

  /**
   * What looks at the monitor itself, once a second, and tells MQTT, the log and people.
   *
   * @param watch started by {@link #watch} before
   * @param beyond what is told to, and asked of, the world outside
   * @param reach who would be called
   * @param others what else the monitor stands on
   */
  SelfWatch selfWatch(
      MqttSettings settings,
      Path dataFolder,
      WatchService watch,
      SensorSubscriber subscriber,
      SelfWatching.Beyond beyond,
      Supplier<Reach> reach,
      List<Leg> others) {
    Outward out = Objects.requireNonNull(outward, "the watch comes first");
    TroubleTeller teller = new TroubleTeller(topics, out.link(), out.status());
    parts.add(
        TopicListener.open(
            Sessions.named(settings, "troubles"),
            List.of(topics.monitorTroubleFilter()),
            teller::heard));
    // The machine's clock, not the farm's, which a demonstration runs faster.
    InstantSource wall = InstantSource.system();
    Optional<LongSupplier> turns = caller.map(calling -> calling::turns);
    caller.ifPresent(
        calling ->
            calling.onTest(
                new SirenTest(topics, (topic, json) -> offered(out.link(), topic, json))::tell));
    Supplier<List<String>> heldUp = () -> butForDeadChannels(watch.troubles());
    SelfWatching selfWatching =
        new SelfWatching(watch, subscriber, out, heldUp, reach, turns, SelfWatching::endAtOnce)
            .disk(dataFolder)
            .clock(wall)
            .database(spooled)
            .book(bookElsewhere)
            .also(others)
            .outside(beyond.watcher());
    if ("ssl".equals(settings.broker().getScheme())) {
      selfWatching.certificate("broker", settings.broker(), wall);
    }
    beyond
        .publicUrl()
        .filter(url -> "https".equals(url.getScheme()))
        .ifPresent(url -> selfWatching.certificate("public-url", url, wall));
    List<TroubleListener> told =
        Stream.<TroubleListener>concat(Stream.of(teller), caller.stream()).toList();
    return parts.add(selfWatching.start(wall, told));
  }

  private List<String> butForDeadChannels(List<String> troubles) {
    Optional<String> dead = caller.flatMap(CallingService::deadChannel); // a trouble of its own
    return troubles.stream().filter(t -> !dead.equals(Optional.of(t))).toList();
  }

  /**
   * What calls phones and desks; its keys are in the folder, the devices in the book.
   *
   * @param publicUrl tells the push services who is calling (RFC 8292 section 2.1); they take https
   *     only
   */
  PushDesk push(Path dataFolder, FarmBook book, Optional<URI> publicUrl) {
    return new PushDesk(
        described.name(),
        PushKeys.in(dataFolder, publicUrl.filter(url -> "https".equals(url.getScheme()))),
        EndpointRule.publicOnly(),
        new BookedSubscriptions(book),
        InstantSource.system()); // the push services' time, also where the farm's runs faster
  }

  /**
   * The pages.
   *
   * @param trips through which trips are written; empty where this process writes none
   * @param push on which devices can ask to be called; empty where this process calls none
   * @param more each adds its own addresses
   */
  DashboardServer dashboard(
      DashboardSettings settings,
      LiveFarm live,
      Traces traces,
      Kept kept,
      Optional<TripDoor> trips,
      Optional<PushDesk> push,
      List<Consumer<RoutesConfig>> more) {
    TripRoutes reviews =
        new TripRoutes(
            live,
            traces,
            kept.past(),
            kept.trips(),
            kept.work(),
            kept.photos(),
            kept.versions(),
            trips);
    List<Consumer<RoutesConfig>> all = Stream.concat(Stream.of(reviews), more.stream()).toList();
    if (trips.isPresent()) {
      parts.add(TripReviews.start(reviews::layDown));
    }
    return parts.add(DashboardServer.start(settings, live, traces, kept.past(), push, all));
  }

  /** Not waited for: without a broker a test is lost, and the self-watch says why. */
  private static void offered(MqttLink link, String topic, byte[] payload) {
    var unused = link.offer(topic, payload, 1, false);
  }

  static void publish(MqttLink link, String topic, byte[] payload, boolean retained) {
    try {
      link.publish(topic, payload, 1, retained).get();
    } catch (ExecutionException e) {
      throw new IllegalStateException(
          e.getCause() == null ? e.getMessage() : e.getCause().getMessage(), e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("asked to end", e);
    }
  }

  static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
