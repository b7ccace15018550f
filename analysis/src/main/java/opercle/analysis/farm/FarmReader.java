// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.BiConsumer;
import java.util.function.Function;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank.Cylinder;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Floors;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.farm.Tank.Holding;
import opercle.analysis.farm.Tank.Kind;
import opercle.analysis.farm.Tank.Load;
import opercle.analysis.farm.Tank.Source;
import opercle.analysis.farm.Tank.Supply;
import opercle.analysis.stock.Species;
import opercle.ingest.settings.Problems;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;

/**
 * Reads a farm description ({@code farm.yaml}), strictly: every problem is found and told at once.
 */
public final class FarmReader {

  // Ids become levels of MQTT topics and parts of web addresses.
  private static final Pattern ID = Pattern.compile("[a-z0-9][a-z0-9_-]{0,39}");
  private static final Pattern SOURCE_NAME = Pattern.compile("[^\\p{Cntrl}]{1,40}");
  private static final Pattern FARM_NAME = Pattern.compile("[^/+#\\p{Cntrl}]{1,60}");

  private static final int MOST_KG = 100_000;
  private static final int MOST_FISH = 10_000_000;

  private FarmReader() {}

  /**
   * Reads a file.
   *
   * @throws UnusableInputException with all problems, each naming file, line, key and value
   */
  public static Farm read(Path file) {
    return parse(file.toString(), YamlFile.read(file));
  }

  /**
   * Reads a text.
   *
   * @param source what to call it in messages
   * @throws UnusableInputException with all problems, each naming source, line, key and value
   */
  public static Farm parse(String source, String yaml) {
    return parse(source, yaml, FarmReader::requireClear);
  }

  /**
   * Reads a text that was a farm in force once, by this version of the program or an earlier one:
   * fish that are given twice are joined as {@link Stocking#joined} says, for nobody can be asked.
   *
   * @param source what to call it in messages
   * @throws UnusableInputException with all problems, each naming source, line, key and value
   */
  public static Farm inForce(String source, String yaml) {
    return parse(source, yaml, (tank, kind) -> {});
  }

  /** What the loads of one kind of fish in one tank must be besides. */
  private interface Twice extends BiConsumer<Section, List<Load>> {}

  private static Farm parse(String source, String yaml, Twice twice) {
    Problems problems = new Problems();
    Section top = YamlFile.parse(source, yaml, problems);
    String name = top.text("farm");
    if (!name.isEmpty() && !FARM_NAME.matcher(name).matches()) {
      top.problem(
          "farm",
          "\"%s\" must be at most 60 characters without / + # (displays and sirens go by it)"
              .formatted(name));
    }
    double altitudeM = top.optionalNumber("altitudeM", "m", -400, 5000).orElse(0.0);
    OptionalDouble responseMinutes = responseMinutes(top);
    Holding holding =
        top.optionalSection("holding").map(FarmReader::holding).orElse(Holding.NOT_SAID);
    List<Section> tankSections = top.sections("tanks");
    List<Tank> tanks =
        tankSections.stream().map(s -> tank(s, responseMinutes, holding, twice)).toList();
    if (!top.has("tanks")) {
      top.problem("tanks", "is missing: at least one tank");
    } else if (tanks.isEmpty()) {
      top.problem("tanks", "must hold at least one tank");
    }
    Set<String> seen = new HashSet<>();
    for (int i = 0; i < tanks.size(); i++) {
      if (!seen.add(tanks.get(i).id())) {
        tankSections
            .get(i)
            .problem("id", "\"%s\" is used by two tanks".formatted(tanks.get(i).id()));
      }
    }
    top.finish();
    problems.throwIfAny();
    return new Farm(name, altitudeM, tanks);
  }

  /** From an alarm at night until somebody has gas flowing again; a tank's own, or the farm's. */
  private static OptionalDouble responseMinutes(Section s) {
    return s.optionalNumber("responseMinutes", "min", 1, 720);
  }

  private static Tank tank(
      Section s, OptionalDouble farmResponseMinutes, Holding farmHolding, Twice twice) {
    String id = s.text("id");
    if (!id.isEmpty() && !ID.matcher(id).matches()) {
      s.problem(
          "id",
          "\"%s\" must be lower-case letters, digits, - and _, at most 40 (its probes send under it)"
              .formatted(id));
    }
    Tank tank =
        new Tank(
            id,
            s.optionalText("name").orElse(id),
            s.choice("kind", words(Kind.values(), Kind::id)),
            s.number("waterLitres", "L", 1, 1_000_000),
            s.optionalNumber("depthM", "m", 0.05, 6).orElse(0.8),
            s.section("supply", FarmReader::supply, NO_SUPPLY),
            loads(s, twice),
            s.optionalSection("floors").map(FarmReader::floors),
            orElse(responseMinutes(s), farmResponseMinutes),
            s.optionalSection("holding").map(FarmReader::holding).orElse(farmHolding));
    s.finish();
    return tank;
  }

  private static OptionalDouble orElse(OptionalDouble own, OptionalDouble farms) {
    return own.isPresent() ? own : farms;
  }

  private static Holding holding(Section s) {
    Holding holding =
        new Holding(
            s.optionalNumber("days", "days", 0.5, 3650),
            s.optionalSection("daysBySpecies").map(FarmReader::daysBySpecies).orElse(Map.of()),
            s.optionalNumber("freshLPerHour", "L/h", 0, 1_000_000),
            s.optionalNumber("ph", "", 6, 9),
            s.optionalNumber("alkalinityMgPerL", "mg/L as CaCO3", 1, 1000));
    s.finish();
    return holding;
  }

  private static Map<Species, Double> daysBySpecies(Section s) {
    Map<Species, Double> days = new EnumMap<>(Species.class);
    for (Species species : Species.values()) {
      s.optionalNumber(species.id(), "days", 0.5, 3650).ifPresent(d -> days.put(species, d));
    }
    s.finish();
    return days;
  }

  private static final Supply NO_SUPPLY =
      new Supply(Gas.AIR, Source.BLOWER, Diffuser.AIR_STONE, 0.0, Optional.empty());

  private static Supply supply(Section s) {
    Supply supply =
        new Supply(
            s.choice("gas", words(Gas.values(), Gas::id)),
            s.choice("source", words(Source.values(), Source::id)),
            s.choice("diffuser", words(Diffuser.values(), Diffuser::id)),
            s.number("flowLPerMin", "L/min at 15 °C", 0, 5000),
            s.optionalSection("cylinder").map(FarmReader::cylinder),
            s.optionalText("sharedSource"),
            s.optionalNumber("pausesMinutes", "min", 0.5, 60));
    supply
        .sharedSource()
        .filter(name -> !SOURCE_NAME.matcher(name).matches())
        .ifPresent(
            name ->
                s.problem(
                    "sharedSource",
                    "\"%s\" must be 1 to 40 characters on one line".formatted(name)));
    if (supply.source() == Source.BLOWER && supply.cylinder().isPresent()) {
      s.problem("cylinder", "does not go with source: blower");
    }
    s.finish();
    return supply;
  }

  private static Cylinder cylinder(Section s) {
    Cylinder cylinder =
        new Cylinder(s.number("waterLitres", "L", 0.1, 2000), s.number("fullBar", "bar", 1, 300));
    s.finish();
    return cylinder;
  }

  /** A kind of fish that is given twice is joined; together they must be what one can be. */
  private static List<Load> loads(Section tank, Twice twice) {
    List<Load> loads = tank.sections("load").stream().map(FarmReader::load).toList();
    Map<Species, List<Load>> bySpecies =
        loads.stream()
            .collect(
                Collectors.groupingBy(
                    Load::species, () -> new EnumMap<>(Species.class), Collectors.toList()));
    boolean isUsable = true;
    for (Map.Entry<Species, List<Load>> kind : bySpecies.entrySet()) {
      double kg = kind.getValue().stream().mapToDouble(Load::kg).sum();
      long count = kind.getValue().stream().mapToLong(l -> l.count().orElse(0)).sum();
      if (kg > MOST_KG || count > MOST_FISH) {
        tank.problem(
            "load",
            "the %s come to %s kg and %d fish together, allowed are %d kg and %d fish"
                .formatted(kind.getKey().id(), kg, count, MOST_KG, MOST_FISH));
        isUsable = false;
      }
      twice.accept(tank, kind.getValue());
    }
    return isUsable ? loads : List.of(); // together they may be more than can be counted
  }

  /** Of some of one kind the size is known, of the others not: nobody can say what to reckon by. */
  private static void requireClear(Section tank, List<Load> kind) {
    boolean isCounted = kind.stream().anyMatch(l -> l.count().isPresent());
    if (isCounted && kind.stream().anyMatch(l -> l.count().isEmpty())) {
      tank.problem(
          "load",
          "the %s are given twice, once without a number: say the number of both"
              .formatted(kind.get(0).species().id()));
    }
  }

  private static Load load(Section s) {
    Load load =
        new Load(
            s.choice("species", words(Species.values(), Species::id)),
            s.number("kg", "kg", 0, MOST_KG),
            s.optionalWhole("count", "fish", 1, MOST_FISH),
            s.optionalTime("since"));
    s.finish();
    return load;
  }

  private static Floors floors(Section s) {
    Floors floors =
        new Floors(
            s.number("keepMgPerL", "mg/L", 0.1, 30), s.number("criticalMgPerL", "mg/L", 0.1, 30));
    if (floors.criticalMgPerL() >= floors.keepMgPerL()
        && s.has("keepMgPerL")
        && s.has("criticalMgPerL")) {
      s.problem(
          "criticalMgPerL",
          "%s mg/L must be below the keep floor, which is %s mg/L"
              .formatted(floors.criticalMgPerL(), floors.keepMgPerL()));
    }
    s.finish();
    return floors;
  }

  private static <T> Map<String, T> words(T[] values, Function<T, String> id) {
    return Arrays.stream(values)
        .collect(Collectors.toMap(id, Function.identity(), (a, b) -> a, LinkedHashMap::new));
  }
}
