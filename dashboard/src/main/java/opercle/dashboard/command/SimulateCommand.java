// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Iterator;
import java.util.Locale;
import java.util.concurrent.Callable;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import opercle.simulator.ProbePublisher;
import opercle.simulator.Sallowmere;
import opercle.simulator.Scenario;
import opercle.simulator.SimulatedFarm;
import opercle.simulator.TraceWriter;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code simulate}: simulated probes, for any broker or into a trace file. */
@Command(
    name = "simulate",
    description = {
      "Publishes simulated probes to any MQTT 5 broker, like any other client; or writes them as a trace.",
      "The tanks are those of the made-up farm Sallowmere, or of --farm."
    })
final class SimulateCommand implements Callable<Integer> {

  private static final double FASTEST = 10_000.0;

  /** Beyond this many times the pace of life, the pace at which water is computed decides. */
  private static final double FASTEST_UNDER_LOAD = 100.0;

  private static final Duration LOOKED_AT = Duration.ofMinutes(2);
  private static final Duration TOLD_EVERY = Duration.ofSeconds(10);
  private static final Duration SETTLED_WITHIN = Duration.ofSeconds(30);
  private static final long LONGEST_LOAD_SECONDS = 86_400L;

  /** A year. */
  private static final long LONGEST_MINUTES = 366L * 24 * 60;

  @Spec private CommandSpec spec;

  @ArgGroup(multiplicity = "1")
  private Target target;

  private static final class Target {
    @Option(
        names = "--broker",
        paramLabel = "URL",
        description = "For instance tcp://localhost:1883.")
    private @Nullable URI broker;

    @Option(
        names = "--trace",
        paramLabel = "FILE",
        description = "Write a trace file in place of publishing.")
    private @Nullable Path trace;

    @Option(names = "--list", description = "List the scenarios.")
    private boolean list;
  }

  @Option(
      names = "--scenario",
      paramLabel = "NAME",
      defaultValue = "quiet-night",
      description = "What happens; --list shows the names. Default: ${DEFAULT-VALUE}.",
      completionCandidates = ScenarioNames.class)
  private String scenarioName;

  @Option(
      names = "--speed",
      paramLabel = "N",
      defaultValue = "1",
      description = {
        "Let the water live N times as fast as the clock. Readings carry the clock's time,",
        "so that rates look N times as large."
      })
  private double speed;

  @Option(
      names = "--farm",
      paramLabel = "farm.yaml",
      description = "Tanks to simulate in place of Sallowmere's.")
  private @Nullable Path farmFile;

  @Option(
      names = "--seed",
      paramLabel = "S",
      defaultValue = "1",
      description = "Draws all that is left to chance.")
  private long seed;

  @Option(
      names = "--minutes",
      paramLabel = "M",
      defaultValue = "120",
      description = "How long a trace is.")
  private long minutes;

  @Option(
      names = "--start",
      paramLabel = "TIME",
      description = "When a trace starts; default: now.")
  private @Nullable Instant traceStart;

  /** How to send a load, not a farm: for trying what a receiver bears. */
  private static final class Load {
    @Option(
        names = "--tanks",
        paramLabel = "N",
        description = {
          "As many tanks, copies of Sallowmere's, to load a receiver with; --farm then names",
          "the new file that they are described in, for the receiver."
        })
    private @Nullable Integer tanks;

    @Option(
        names = "--rate",
        paramLabel = "R",
        description = {
          "As many readings a second, of all tanks together, QoS 1, each a message of its own. The",
          "water lives faster or slower to fit, so look at no alarm of such a farm."
        })
    private @Nullable Double rate;

    @Option(
        names = "--seconds",
        paramLabel = "S",
        description = {
          "End after S seconds, 1 to 86400, and tell what the broker took; exit code 1",
          "if that is not all."
        })
    private @Nullable Long seconds;

    boolean isAsked() {
      return tanks != null || rate != null || seconds != null;
    }
  }

  @ArgGroup(exclusive = false, heading = "%nA load in place of a farm:%n")
  private Load load = new Load();

  /** The names for the shell's completion. */
  static final class ScenarioNames implements Iterable<String> {
    @Override
    public Iterator<String> iterator() {
      return Scenario.names().iterator();
    }
  }

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    if (target.list) {
      Scenario.all().forEach(s -> out.printf("%-20s %s%n", s.name(), s.description()));
      out.flush();
      return 0;
    }
    if (!(speed > 0 && speed <= FASTEST)) {
      throw new ParameterException(
          spec.commandLine(), "--speed must be above 0 and at most 10000 but was " + speed);
    }
    Instant start = traceStart == null ? Instant.now() : traceStart;
    if (load.isAsked() && (target.broker == null || speed != 1.0)) {
      throw new ParameterException(
          spec.commandLine(),
          "--tanks, --rate and --seconds go with --broker, and without --speed");
    }
    if (load.seconds != null && (load.seconds < 1 || load.seconds > LONGEST_LOAD_SECONDS)) {
      throw new ParameterException(
          spec.commandLine(),
          "--seconds must be 1 to " + LONGEST_LOAD_SECONDS + " but was " + load.seconds);
    }
    Farm farm = farm(start);
    SimulatedFarm simulated;
    try {
      simulated = new SimulatedFarm(farm, Scenario.named(scenarioName), seed, start);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--scenario: " + e.getMessage(), e);
    }
    if (target.trace != null) {
      if (minutes < 1 || minutes > LONGEST_MINUTES) {
        throw new ParameterException(
            spec.commandLine(),
            "--minutes must be 1 to " + LONGEST_MINUTES + " but was " + minutes);
      }
      long rows = write(simulated, target.trace);
      out.printf("%d readings of %d minutes written to %s%n", rows, minutes, target.trace);
      out.flush();
      return 0;
    }
    return publish(simulated, load.isAsked() ? speedFor(farm, start) : speed, out);
  }

  private Farm farm(Instant start) {
    if (load.tanks == null) {
      return farmFile == null ? Sallowmere.farmAt(start) : FarmReader.read(farmFile);
    }
    Farm farm;
    try {
      farm = Sallowmere.farmOf(load.tanks, start);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--tanks " + e.getMessage(), e);
    }
    if (farmFile != null) {
      try {
        Files.writeString(farmFile, FarmWriter.write(farm), StandardOpenOption.CREATE_NEW);
      } catch (IOException e) {
        throw new UnusableInputException(
            new Problem(
                farmFile.toString(),
                0,
                "",
                "with --tanks the farm is written here, into a new file; it cannot be: " + e));
      }
    }
    return farm;
  }

  /** How fast the water must live for its probes to send as many readings as are asked for. */
  private double speedFor(Farm farm, Instant start) {
    if (load.rate == null) {
      return 1.0;
    }
    double own =
        new SimulatedFarm(farm, Scenario.named("quiet-night"), seed, start)
                .advance(start.plus(LOOKED_AT))
                .size()
            / (double) LOOKED_AT.toSeconds();
    double needed = load.rate / own;
    if (!(needed > 0.0 && needed <= FASTEST_UNDER_LOAD)) {
      throw new ParameterException(
          spec.commandLine(),
          String.format(
              Locale.ROOT,
              "--rate must be above 0 and at most %.0f for these tanks but was %s",
              FASTEST_UNDER_LOAD * own,
              load.rate));
    }
    return needed;
  }

  private long write(SimulatedFarm farm, Path trace) {
    try {
      return TraceWriter.write(farm, Duration.ofMinutes(minutes), trace);
    } catch (UncheckedIOException e) {
      throw new UnusableInputException(
          new Problem(trace.toString(), 0, "", "cannot be written: " + e.getCause()));
    }
  }

  private int publish(SimulatedFarm farm, double atSpeed, PrintWriter out) {
    URI broker = target.broker;
    if (broker == null) {
      throw new IllegalStateException("neither broker nor trace");
    }
    MqttSettings settings;
    try {
      settings = MqttSettings.of(broker, "opercle-simulator-" + ProcessHandle.current().pid());
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--broker: " + e.getMessage(), e);
    }
    try (RunningParts parts = new RunningParts()) {
      MqttLink link = parts.add(MqttLink.open(settings));
      LoadCount count = new LoadCount(link);
      ProbePublisher probes =
          parts.add(
              ProbePublisher.atSpeed(
                  farm,
                  InstantSource.system(),
                  atSpeed,
                  load.isAsked()
                      ? count::publish
                      : (topic, payload) -> {
                        var unused = link.offer(topic, payload, 1, false);
                      }));
      probes.start();
      out.printf(
          "simulating %d tanks, scenario %s, to %s; %s%n",
          farm.farm().tanks().size(),
          scenarioName,
          broker,
          load.seconds == null ? "Ctrl-C ends it" : "for " + load.seconds + " s");
      out.flush();
      if (load.isAsked()) {
        parts.add(count.tellingEvery(TOLD_EVERY, out));
      }
      if (load.seconds == null) {
        parts.untilAskedToEnd();
        return 0;
      }
      parts.untilAskedToEnd(Duration.ofSeconds(load.seconds));
      probes.close();
      boolean all = count.untilAcknowledged(SETTLED_WITHIN);
      out.println(count);
      out.flush();
      return all ? 0 : 1;
    }
  }
}
