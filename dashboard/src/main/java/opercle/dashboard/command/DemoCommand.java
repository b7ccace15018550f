// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.ZoneId;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.stream.Stream;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.WatchService;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.web.DashboardServer;
import opercle.dashboard.web.DashboardSettings;
import opercle.dashboard.web.SetUpApi;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;
import opercle.ingest.reading.Reading;
import opercle.ingest.store.SqliteReadings;
import opercle.simulator.ProbePublisher;
import opercle.simulator.Sallowmere;
import opercle.simulator.Scenario;
import opercle.simulator.SimulatedFarm;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code demo}: the made-up farm Sallowmere, whole, on one machine. */
@Command(
    name = "demo",
    description = {
      "The made-up farm Sallowmere on this machine: broker, store, simulated probes, watch and pages.",
      "About a minute in, a gas line fails. Nothing is kept when it ends."
    })
final class DemoCommand implements Callable<Integer> {

  /** Lived through before the start, so that the pages have a past to show. */
  private static final Duration PAST = Duration.ofMinutes(90);

  private static final double FASTEST = 60.0;

  @Spec private CommandSpec spec;

  @Option(
      names = "--port",
      defaultValue = "8080",
      description = "Port of the pages; 0: any. Default: ${DEFAULT-VALUE}.")
  private int port;

  @Option(
      names = "--mqtt-port",
      defaultValue = "1883",
      description = "Port of the broker; 0: any. Default: ${DEFAULT-VALUE}.")
  private int mqttPort;

  @Option(
      names = "--speed",
      defaultValue = "1",
      description =
          "Let the farm's clock run N times as fast, up to 60. Default: ${DEFAULT-VALUE}.")
  private double speed;

  @Option(
      names = "--scenario",
      paramLabel = "NAME",
      defaultValue = "gas-line-stops",
      completionCandidates = SimulateCommand.ScenarioNames.class,
      description = "What happens. Default: ${DEFAULT-VALUE}.")
  private String scenarioName;

  @Override
  public Integer call() throws IOException {
    requirePort("--port", port);
    requirePort("--mqtt-port", mqttPort);
    if (!(speed > 0 && speed <= FASTEST)) {
      throw new ParameterException(
          spec.commandLine(), "--speed must be above 0 and at most 60 but was " + speed);
    }
    Scenario scenario;
    try {
      scenario = Scenario.named(scenarioName);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--scenario: " + e.getMessage(), e);
    }
    Path folder = Files.createTempDirectory("opercle-demo");
    try (RunningParts parts = new RunningParts()) {
      parts.add(() -> delete(folder));
      start(parts, folder, scenario);
      parts.untilAskedToEnd();
    }
    return 0;
  }

  private void start(RunningParts parts, Path folder, Scenario scenario) {
    InstantSource clock = new ScaledClock(InstantSource.system(), speed);
    Instant now = clock.instant();
    Farm farm = Sallowmere.farmAt(now);
    Services services = new Services(parts, farm, clock);
    // The broker takes longest to start; the past is lived through meanwhile.
    CompletableFuture<EmbeddedBroker> starting =
        CompletableFuture.supplyAsync(() -> services.broker(folder, mqttPort));
    SimulatedFarm simulated =
        new SimulatedFarm(farm, scenario.afterAnother(PAST), now.getEpochSecond(), now.minus(PAST));
    List<Reading> past = simulated.advance(now);
    SqliteReadings store = services.store(folder);
    store.accept(past);
    EmbeddedBroker broker = started(starting);

    MqttSettings mqtt = Sessions.settings(broker);
    FarmBook book = services.book(BookPlace.in(folder));
    FarmDesk desk = services.desk(book, "the demonstration");
    WatchService watch = services.watch(mqtt, folder, Optional.of(store), book);
    FarmHolding.follow(desk, book, watch::know, clock);
    HeardProbes heard = new HeardProbes();
    SensorSubscriber subscriber =
        services.subscriber(
            Sessions.named(mqtt, Services.FRONT_DOOR),
            List.of(),
            new Rejections(),
            Optional.of(store),
            List.of(watch, heard));
    ProbeDesk probeDesk = services.probes(mqtt, book, desk, subscriber);
    SelfWatch selfWatch =
        services.selfWatch(
            mqtt,
            folder,
            watch,
            subscriber,
            SelfWatching.Beyond.NOTHING,
            () -> Reach.NOBODY,
            List.of());
    LocalFarm live =
        new LocalFarm(
            clock,
            watch,
            subscriber,
            selfWatch,
            () -> Reach.NOBODY,
            List::of,
            PeopleCalled.morning(Optional.empty()),
            folder,
            Optional::empty);
    Kept kept = Kept.in(book, farm.name(), Optional.empty());
    StoredTraces traces = new StoredTraces(store);
    DashboardServer pages =
        services.dashboard(
            DashboardSettings.onLoopback(port),
            live,
            traces,
            kept,
            Optional.of(FarmHolding.trips(book, desk, clock)),
            Optional.of(services.push(folder, book, Optional.empty())),
            List.of(
                new SetUpApi(
                    desk,
                    Optional.of(probeDesk),
                    heard,
                    clock::instant,
                    false,
                    Optional.of(FarmHolding.moves(book, farm, clock))),
                FarmRecords.in(book, farm, ZoneId.systemDefault(), clock),
                FarmHolding.in(book, watch, live, kept, traces, ZoneId.systemDefault(), clock)));
    MqttLink probesLink = parts.add(MqttLink.open(Sessions.named(mqtt, "simulated-probes")));
    ProbePublisher probes =
        parts.add(
            ProbePublisher.followingClock(
                simulated,
                clock,
                (topic, payload) -> {
                  var unused = probesLink.offer(topic, payload, 1, false);
                }));
    probes.start();
    announce(broker, pages, scenario);
  }

  private void announce(EmbeddedBroker broker, DashboardServer pages, Scenario scenario) {
    PrintWriter out = spec.commandLine().getOut();
    out.println();
    out.println(
        "  Sallowmere is a made-up farm: six holding tanks on one blower, two transport tanks on oxygen.");
    out.println();
    out.println("    open    http://localhost:" + pages.port() + "/");
    out.println(
        "    probes  publish to "
            + broker.uri()
            + "; try: mosquitto_sub -p "
            + broker.port()
            + " -t 'opercle/#' -v");
    out.println();
    out.println("  What will happen: " + scenario.description());
    if (speed != 1.0) {
      out.println("  The farm's clock runs " + speed + " times as fast as yours.");
    }
    out.println("  Ctrl-C ends it; nothing is kept.");
    out.println();
    out.flush();
  }

  private static EmbeddedBroker started(CompletableFuture<EmbeddedBroker> starting) {
    try {
      return starting.join();
    } catch (CompletionException e) {
      if (e.getCause() instanceof RuntimeException cause) {
        throw cause; // in its own words, for instance that the port is taken
      }
      throw e;
    }
  }

  private void requirePort(String option, int value) {
    if (value < 0 || value > 65535) {
      throw new ParameterException(
          spec.commandLine(), option + " must be 0 to 65535 but was " + value);
    }
  }

  private static void delete(Path folder) {
    try (Stream<Path> files = Files.walk(folder)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.deleteIfExists(file);
      }
    } catch (IOException e) {
      throw new UncheckedIOException("cannot delete " + folder, e);
    }
  }
}
