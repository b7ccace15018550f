// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.function.Function;
import java.util.stream.Collectors;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.plan.LoadPlanText;
import opercle.analysis.plan.LoadPlanTree;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.plan.Verdict;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.HandlingStress;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.LearnedRate;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.water.AirPressure;
import opercle.ingest.settings.Nearest;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code plan}: is this load safe in this tank for this long. */
@Command(
    name = "plan",
    description = {
      "Before a move: is this load safe in this tank, at this temperature, for this long?",
      "Exit code 0: go, or go with care; 1: do not go."
    })
final class PlanCommand implements Callable<Integer> {

  private static final int DO_NOT_GO = 1;

  @Spec private CommandSpec spec;

  @Option(
      names = "--water-litres",
      required = true,
      paramLabel = "L",
      description = "Water in the tank, without the fish, L.")
  private double waterLitres;

  @ArgGroup(exclusive = false, multiplicity = "1..*")
  private List<Fish> fish;

  private static final class Fish {
    @Option(
        names = "--species",
        required = true,
        paramLabel = "ID",
        description = "For instance common-carp. Repeat --species, --kg, --count for a mixed load.")
    private String species;

    @Option(
        names = "--kg",
        required = true,
        paramLabel = "KG",
        description = "Their mass together, kg.")
    private double kg;

    @Option(
        names = "--count",
        paramLabel = "N",
        description = "How many; of the species' usual size if left out.")
    private @Nullable Integer count;
  }

  @Option(
      names = "--temperature",
      required = true,
      paramLabel = "C",
      description = "Water temperature at loading, °C.")
  private double temperatureC;

  @Option(
      names = "--rise",
      paramLabel = "C",
      defaultValue = "0",
      description = "By how much it will warm on the way, °C.")
  private double riseC;

  @Option(
      names = "--minutes",
      required = true,
      paramLabel = "M",
      description = "From loading to unloading.")
  private double minutes;

  @Option(names = "--gas", required = true, paramLabel = "GAS", description = "oxygen or air.")
  private String gas;

  @Option(
      names = "--diffuser",
      required = true,
      paramLabel = "KIND",
      description = "ceramic, porous-hose, perforated-pipe or air-stone.")
  private String diffuser;

  @Option(
      names = "--depth",
      paramLabel = "M",
      description = "Water over the diffuser, m; 0.7 if left out.")
  private @Nullable Double depthM;

  @Option(
      names = "--flow",
      paramLabel = "L_PER_MIN",
      description = "The flow that will be set, L/min at 15 °C; the plan's own if left out.")
  private @Nullable Double flowLPerMin;

  @Option(
      names = "--cylinder-litres",
      paramLabel = "L",
      description = "Water volume of the cylinder, L; with --cylinder-bar.")
  private @Nullable Double cylinderLitres;

  @Option(
      names = "--cylinder-bar",
      paramLabel = "BAR",
      description = "Its pressure now, bar; with --cylinder-litres.")
  private @Nullable Double cylinderBar;

  @Option(
      names = "--cylinders",
      paramLabel = "N",
      defaultValue = "1",
      description = "How many such cylinders feed the tank one after the other.")
  private int cylinders;

  @Option(
      names = "--reserve-bar",
      paramLabel = "BAR",
      description = "What is to be left in each at the end, bar; 50 if left out.")
  private @Nullable Double reserveBar;

  @Option(
      names = "--response-minutes",
      paramLabel = "M",
      description =
          "How long it takes you to notice, stop and get gas flowing again; 10 if left out.")
  private @Nullable Double responseMinutes;

  @Option(names = "--fed", description = "The fish were fed within the last two days.")
  private boolean fed;

  @Option(
      names = "--exhausted",
      description = "The fish were chased, crowded or short of oxygen before loading.")
  private boolean exhausted;

  @Option(
      names = "--altitude",
      paramLabel = "M",
      defaultValue = "0",
      description = "The highest point of the way, m above sea level.")
  private double altitudeM;

  @Option(
      names = "--config",
      paramLabel = "opercle.yaml",
      description =
          "The farm's configuration: where its trips measured what such fish breathe, that goes in"
              + " place of the published estimate.")
  private @Nullable Path config;

  @Option(
      names = "--published",
      description = "With --config: by the published estimate all the same.")
  private boolean published;

  @Option(names = "--json", description = "The same as JSON.")
  private boolean json;

  @Override
  public Integer call() throws JsonProcessingException {
    LoadPlan plan;
    try {
      plan = LoadPlan.of(request());
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
    PrintWriter out = spec.commandLine().getOut();
    if (!json && config != null && !published && plan.request().measuredRate().isEmpty()) {
      out.println(
          "No trip of this farm tells what such fish breathe in such water; this is by the published"
              + " estimate.");
      out.println();
    }
    out.println(
        json
            ? new ObjectMapper()
                .writerWithDefaultPrettyPrinter()
                .writeValueAsString(LoadPlanTree.of(plan))
            : LoadPlanText.of(plan));
    out.flush();
    return plan.verdict() == Verdict.DO_NOT_GO ? DO_NOT_GO : 0;
  }

  private LoadPlanRequest request() {
    FishLoad load = new FishLoad(fish.stream().map(this::batch).toList());
    LoadPlanRequest.Builder request =
        LoadPlanRequest.of(load, waterLitres)
            .temperatureC(temperatureC)
            .riseC(riseC)
            .minutes(minutes)
            .supply(
                word("--gas", gas, Gas.values(), Gas::id),
                word("--diffuser", diffuser, Diffuser.values(), Diffuser::id))
            .pressureKPa(AirPressure.atAltitudeKPa(altitudeM));
    if (depthM != null) {
      request.depthM(depthM);
    }
    if (flowLPerMin != null) {
      request.flowLPerMin(flowLPerMin);
    }
    if (reserveBar != null) {
      request.reserveBar(reserveBar);
    }
    if (responseMinutes != null) {
      request.responseMinutes(responseMinutes);
    }
    if (fed) {
      request.feeding(Feeding.FED);
    }
    if (exhausted) {
      request.handling(HandlingStress.EXHAUSTED);
    }
    if (cylinderLitres != null && cylinderBar != null) {
      request.cylinders(new Cylinders(cylinderLitres, cylinderBar, cylinders));
    } else if (cylinderLitres != null || cylinderBar != null) {
      throw new ParameterException(
          spec.commandLine(),
          "--cylinder-litres and --cylinder-bar go together; give both or neither");
    }
    if (config != null && !published) {
      learned(config, load).ifPresent(request::measuredRate);
    }
    return request.build();
  }

  /**
   * What the farm's own trips say of one kind of fish; a mixed load teaches nothing, nor is it
   * told.
   */
  private Optional<MeasuredRate> learned(Path config, FishLoad load) {
    if (load.batches().stream().map(Batch::species).distinct().count() != 1) {
      return Optional.empty();
    }
    Configuration c = ConfigurationReader.read(config);
    List<PastDemand> past;
    try (FarmBook book = FarmBook.openReadOnly(c.book())) {
      past = new TripRecords(book, c.farm().name()).demands();
    } catch (BookException e) {
      throw new UnusableInputException(
          new Problem(String.valueOf(config), 0, "", String.valueOf(e.getMessage())));
    }
    Batch batch = load.batches().get(0);
    return LearnedRate.of(past, batch.species(), batch.meanMassKg(), temperatureC);
  }

  private Batch batch(Fish f) {
    Species species = word("--species", f.species, Species.values(), Species::id);
    return f.count == null ? Batch.ofKg(species, f.kg) : Batch.of(species, f.kg, f.count);
  }

  private <T> T word(String option, String given, T[] values, Function<T, String> id) {
    Map<String, T> choices =
        Arrays.stream(values).collect(Collectors.toMap(id, Function.identity()));
    T value = choices.get(given);
    if (value == null) {
      throw new ParameterException(
          spec.commandLine(),
          "%s: \"%s\" is not one of %s%s"
              .formatted(
                  option,
                  given,
                  choices.keySet().stream().sorted().collect(Collectors.joining(", ")),
                  Nearest.to(given, choices.keySet())
                      .map(" (did you mean %s?)"::formatted)
                      .orElse("")));
    }
    return value;
  }
}
