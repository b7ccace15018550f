// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.Iterator;
import java.util.concurrent.Callable;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
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
    Farm farm = farmFile == null ? Sallowmere.farmAt(start) : FarmReader.read(farmFile);
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
    return publish(simulated, out);
  }

  private long write(SimulatedFarm farm, Path trace) {
    try {
      return TraceWriter.write(farm, Duration.ofMinutes(minutes), trace);
    } catch (UncheckedIOException e) {
      throw new UnusableInputException(
          new Problem(trace.toString(), 0, "", "cannot be written: " + e.getCause()));
    }
  }

  private int publish(SimulatedFarm farm, PrintWriter out) {
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
      ProbePublisher probes =
          parts.add(
              ProbePublisher.atSpeed(
                  farm,
                  InstantSource.system(),
                  speed,
                  (topic, payload) -> {
                    var unused = link.offer(topic, payload, 1, false);
                  }));
      probes.start();
      out.printf(
          "simulating %d tanks, scenario %s, to %s; Ctrl-C ends it%n",
          farm.farm().tanks().size(), scenarioName, broker);
      out.flush();
      parts.untilAskedToEnd();
    }
    return 0;
  }
}
