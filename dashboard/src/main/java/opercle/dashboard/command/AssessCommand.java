// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import opercle.dashboard.assess.Assessment;
import opercle.dashboard.assess.AssessmentPlan;
import opercle.dashboard.assess.Changes;
import opercle.dashboard.assess.Changes.Instrument;
import opercle.ingest.settings.Nearest;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code assess}: how well the watch finds simulated faults. */
@Command(
    name = "assess",
    description = {
      "How soon the tank watch finds simulated faults, and how often it calls for nothing,",
      "beside plain rules and what is possible at all. The same seed gives the same figures.",
      "Exit code 0 whatever the figures are."
    })
final class AssessCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Option(
      names = "--nights",
      required = true,
      paramLabel = "N",
      description = "Tank-nights in all: two of five quiet, the rest spread over all other kinds.")
  private int nights;

  @Option(
      names = "--seed",
      required = true,
      paramLabel = "S",
      description = "Below 1000 for development; report with others.")
  private long seed;

  @Option(
      names = "--without",
      split = ",",
      paramLabel = "INSTRUMENT",
      description = "Take away meter, pressure or second-probe; may repeat.")
  private @Nullable List<String> without;

  @Option(
      names = "--sampling",
      paramLabel = "SECONDS",
      description = "Between readings of oxygen and flow, s; 5 if left out.")
  private @Nullable Double samplingSeconds;

  @Option(
      names = "--noise",
      paramLabel = "FACTOR",
      defaultValue = "1",
      description = "The oxygen probe's noise times this.")
  private double noiseFactor;

  @Option(
      names = "--lag",
      paramLabel = "FACTOR",
      defaultValue = "1",
      description = "The oxygen probe's response time times this.")
  private double lagFactor;

  @Option(names = "--json", description = "The same as JSON.")
  private boolean json;

  @Override
  public Integer call() throws JsonProcessingException {
    AssessmentPlan plan;
    try {
      plan = new AssessmentPlan(nights, seed, changes());
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), "--" + e.getMessage(), e);
    }
    Assessment assessment;
    try (ProgressBar progress =
        ProgressBar.onTerminal(spec.commandLine().getErr(), plan.nights())) {
      assessment =
          Assessment.run(
              plan,
              () -> {
                synchronized (progress) {
                  progress.advance(1);
                }
              });
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      out.println(
          new ObjectMapper()
              .writerWithDefaultPrettyPrinter()
              .writeValueAsString(assessment.json()));
    } else {
      out.print(assessment.text());
    }
    out.flush();
    return 0;
  }

  private Changes changes() {
    Set<Instrument> taken = EnumSet.noneOf(Instrument.class);
    for (String id : without == null ? List.<String>of() : without) {
      taken.add(Instrument.of(id).orElseThrow(() -> unknown(id)));
    }
    return new Changes(
        taken,
        samplingSeconds == null ? OptionalDouble.empty() : OptionalDouble.of(samplingSeconds),
        noiseFactor,
        lagFactor);
  }

  private static IllegalArgumentException unknown(String id) {
    List<String> known = Arrays.stream(Instrument.values()).map(Instrument::id).toList();
    return new IllegalArgumentException(
        "without: \"%s\" is not one of %s%s"
            .formatted(
                id,
                known.stream().collect(Collectors.joining(", ")),
                Nearest.to(id, known).map(" (did you mean %s?)"::formatted).orElse("")));
  }
}
