// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.DoubleConsumer;
import java.util.function.Function;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.HandlingStress;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;
import opercle.analysis.water.AirPressure;
import opercle.ingest.settings.Nearest;
import org.jspecify.annotations.Nullable;

/**
 * What somebody asks a load plan for, read from JSON. All that is wrong is told at once, each field
 * by its JSON Pointer (RFC 6901). Made for one request and thrown away.
 */
final class PlanQuery {

  /** More kinds of fish than anybody loads into one tank. */
  static final int MOST_BATCHES = 10;

  static final ValidRange BATCH_KG = new ValidRange("", "kg", 0.001, 1.0e6, "kg");
  static final ValidRange EACH_KG =
      new ValidRange("", "meanMassKg", OxygenDemand.LIGHTEST_KG, OxygenDemand.HEAVIEST_KG, "kg");
  static final ValidRange COUNT = new ValidRange("", "count", 1.0, 1.0e8, "fish");
  static final ValidRange RISE = new ValidRange("", "riseC", -35.0, 35.0, "°C");
  static final ValidRange ALTITUDE = new ValidRange("", "altitudeM", -500.0, 4000.0, "m");
  static final ValidRange CYLINDERS = new ValidRange("", "count", 1.0, 100.0, "cylinders");

  static final Map<String, Feeding> FEEDING = Map.of("unfed", Feeding.UNFED, "fed", Feeding.FED);
  static final Map<String, HandlingStress> HANDLING =
      Map.of("careful", HandlingStress.CAREFUL, "exhausted", HandlingStress.EXHAUSTED);

  private static final Set<String> FIELDS =
      Set.of(
          "load",
          "waterLitres",
          "temperatureC",
          "riseC",
          "minutes",
          "gas",
          "diffuser",
          "depthM",
          "flowLPerMin",
          "cylinder",
          "reserveBar",
          "responseMinutes",
          "handling",
          "feeding",
          "altitudeM",
          "measuredRate");
  private static final Set<String> BATCH_FIELDS = Set.of("species", "kg", "count", "meanMassKg");
  private static final Set<String> RATE_FIELDS =
      Set.of("low", "likely", "high", "temperatureC", "trips");
  private static final ValidRange TRIPS = new ValidRange("", "trips", 1.0, 1.0e6, "trips");
  private static final Set<String> CYLINDER_FIELDS = Set.of("waterLitres", "bar", "count");

  private final List<Problem.Field> problems = new ArrayList<>();

  private PlanQuery() {}

  /**
   * Reads a request.
   *
   * @throws Problem naming every field that is wrong, its value, the limit and the unit
   */
  static LoadPlanRequest read(JsonNode body) {
    if (!body.isObject()) {
      throw Problem.misread("The body must be a JSON object.");
    }
    PlanQuery query = new PlanQuery();
    return query.request(body);
  }

  private LoadPlanRequest request(JsonNode body) {
    known(body, "", FIELDS);
    List<Batch> load = load(body.path("load"));
    OptionalDouble water = need(body, "/waterLitres");
    OptionalDouble temperature = need(body, "/temperatureC");
    OptionalDouble minutes = need(body, "/minutes");
    Optional<Gas> gas = word(body, "/gas", ids(Gas.values(), Gas::id), true);
    Optional<Diffuser> diffuser =
        word(body, "/diffuser", ids(Diffuser.values(), Diffuser::id), true);
    Optional<Cylinders> cylinders = cylinders(body);
    OptionalDouble rise = number(body, "/riseC", RISE, false);
    OptionalDouble altitude = number(body, "/altitudeM", ALTITUDE, false);
    // Stand-ins keep the reading going where something is wrong: it ends in a problem below.
    FishLoad fish =
        new FishLoad(load.isEmpty() ? List.of(Batch.ofKg(Species.COMMON_CARP, 1.0)) : load);
    LoadPlanRequest.Builder request =
        LoadPlanRequest.of(fish, water.orElse(1.0))
            .supply(gas.orElse(Gas.OXYGEN), diffuser.orElse(Diffuser.CERAMIC));
    temperature.ifPresent(request::temperatureC);
    minutes.ifPresent(request::minutes);
    rise.ifPresent(request::riseC);
    altitude.ifPresent(m -> request.pressureKPa(AirPressure.atAltitudeKPa(m)));
    cylinders.ifPresent(request::cylinders);
    measuredRate(body).ifPresent(request::measuredRate);
    may(body, "/depthM", request::depthM);
    may(body, "/flowLPerMin", request::flowLPerMin);
    may(body, "/reserveBar", request::reserveBar);
    may(body, "/responseMinutes", request::responseMinutes);
    word(body, "/handling", HANDLING, false).ifPresent(request::handling);
    word(body, "/feeding", FEEDING, false).ifPresent(request::feeding);
    endTemperature(temperature, rise);
    if (!problems.isEmpty()) {
      throw Problem.badFields(problems);
    }
    return request.build();
  }

  private List<Batch> load(JsonNode load) {
    if (!load.isArray() || load.isEmpty() || load.size() > MOST_BATCHES) {
      problems.add(
          new Problem.Field(
              "/load",
              load.isArray() ? load.size() + " kinds" : said(load),
              "1–" + MOST_BATCHES,
              "kinds of fish"));
      return List.of();
    }
    List<Batch> batches = new ArrayList<>();
    for (int i = 0; i < load.size(); i++) {
      batch(load.get(i), "/load/" + i).ifPresent(batches::add);
    }
    return batches;
  }

  private Optional<Batch> batch(JsonNode node, String at) {
    known(node, at, BATCH_FIELDS);
    Optional<Species> species =
        word(node, at + "/species", ids(Species.values(), Species::id), true);
    OptionalDouble kg = number(node, at + "/kg", BATCH_KG, true);
    OptionalDouble count = number(node, at + "/count", COUNT, false);
    OptionalDouble each = number(node, at + "/meanMassKg", EACH_KG, false);
    if (species.isEmpty() || kg.isEmpty()) {
      return Optional.empty();
    }
    if (count.isPresent() && each.isEmpty()) {
      double mean = kg.getAsDouble() / count.getAsDouble();
      if (!(mean >= EACH_KG.low() && mean <= EACH_KG.high())) {
        problems.add(
            new Problem.Field(
                at + "/count",
                "%s, which makes %s kg each".formatted(plain(count.getAsDouble()), plain(mean)),
                range(EACH_KG),
                "kg each"));
        return Optional.empty();
      }
      each = OptionalDouble.of(mean);
    }
    return Optional.of(new Batch(species.get(), kg.getAsDouble(), each));
  }

  private Optional<Cylinders> cylinders(JsonNode body) {
    JsonNode node = body.path("cylinder");
    if (node.isMissingNode() || node.isNull()) {
      return Optional.empty();
    }
    known(node, "/cylinder", CYLINDER_FIELDS);
    OptionalDouble litres =
        number(node, "/cylinder/waterLitres", limit("cylinder.waterLitres"), true);
    OptionalDouble bar = number(node, "/cylinder/bar", limit("cylinder.bar"), true);
    OptionalDouble count = number(node, "/cylinder/count", CYLINDERS, false);
    return litres.isPresent() && bar.isPresent()
        ? Optional.of(
            new Cylinders(litres.getAsDouble(), bar.getAsDouble(), (int) count.orElse(1.0)))
        : Optional.empty();
  }

  private Optional<MeasuredRate> measuredRate(JsonNode body) {
    JsonNode node = body.path("measuredRate");
    if (node.isMissingNode() || node.isNull()) {
      return Optional.empty();
    }
    known(node, "/measuredRate", RATE_FIELDS);
    OptionalDouble low = number(node, "/measuredRate/low", MeasuredRate.RATE, true);
    OptionalDouble likely = number(node, "/measuredRate/likely", MeasuredRate.RATE, true);
    OptionalDouble high = number(node, "/measuredRate/high", MeasuredRate.RATE, true);
    OptionalDouble celsius =
        number(node, "/measuredRate/temperatureC", limit("temperatureC"), true);
    OptionalDouble trips = number(node, "/measuredRate/trips", TRIPS, true);
    if (low.isEmpty()
        || likely.isEmpty()
        || high.isEmpty()
        || celsius.isEmpty()
        || trips.isEmpty()) {
      return Optional.empty();
    }
    double middle = likely.getAsDouble();
    if (middle < low.getAsDouble() || middle > high.getAsDouble()) {
      problems.add(
          new Problem.Field(
              "/measuredRate/likely", plain(middle), "between low and high", "mg/kg/h"));
      return Optional.empty();
    }
    return Optional.of(
        new MeasuredRate(
            new Band(low.getAsDouble(), middle, high.getAsDouble()),
            celsius.getAsDouble(),
            (int) trips.getAsDouble()));
  }

  private void endTemperature(OptionalDouble temperature, OptionalDouble rise) {
    ValidRange range = limit("temperatureC");
    if (temperature.isPresent() && rise.isPresent()) {
      double end = temperature.getAsDouble() + rise.getAsDouble();
      if (!(end >= range.low() && end <= range.high())) {
        problems.add(
            new Problem.Field(
                "/riseC",
                "%s, which makes %s at the end".formatted(plain(rise.getAsDouble()), plain(end)),
                range(range),
                "°C at the end"));
      }
    }
  }

  private OptionalDouble need(JsonNode body, String pointer) {
    return number(body, pointer, limit(pointer.substring(1)), true);
  }

  private void may(JsonNode body, String pointer, DoubleConsumer into) {
    number(body, pointer, limit(pointer.substring(1)), false).ifPresent(into);
  }

  private OptionalDouble number(
      JsonNode parent, String pointer, ValidRange range, boolean required) {
    JsonNode node = parent.path(last(pointer));
    if ((node.isMissingNode() || node.isNull()) && !required) {
      return OptionalDouble.empty();
    }
    if (node.isNumber()) {
      double value = node.doubleValue();
      if (value >= range.low() && value <= range.high()) {
        return OptionalDouble.of(value);
      }
    }
    problems.add(new Problem.Field(pointer, said(node), range(range), range.unit()));
    return OptionalDouble.empty();
  }

  private <T> Optional<T> word(
      JsonNode parent, String pointer, Map<String, T> choices, boolean required) {
    JsonNode node = parent.path(last(pointer));
    if ((node.isMissingNode() || node.isNull()) && !required) {
      return Optional.empty();
    }
    @Nullable T choice = node.isTextual() ? choices.get(node.textValue()) : null;
    if (choice == null) {
      problems.add(
          new Problem.Field(
              pointer,
              said(node),
              Problem.CHOICE + String.join(", ", new TreeSet<>(choices.keySet())),
              ""));
    }
    return Optional.ofNullable(choice);
  }

  private void known(JsonNode node, String at, Set<String> fields) {
    for (Iterator<String> names = node.fieldNames(); names.hasNext(); ) {
      String name = names.next();
      if (!fields.contains(name)) {
        String near = Nearest.to(name, fields).map(" (did you mean %s?)"::formatted).orElse("");
        problems.add(
            new Problem.Field(
                at + "/" + name, "a field that a plan does not have" + near, "no such field", ""));
      }
    }
  }

  static <T> Map<String, T> ids(T[] values, Function<T, String> id) {
    Map<String, T> choices = new HashMap<>();
    Arrays.stream(values).forEach(value -> choices.put(id.apply(value), value));
    return choices;
  }

  private static ValidRange limit(String field) {
    return Objects.requireNonNull(LoadPlanRequest.limits().get(field), field);
  }

  private static String last(String pointer) {
    return pointer.substring(pointer.lastIndexOf('/') + 1);
  }

  private static String range(ValidRange range) {
    return plain(range.low()) + "–" + plain(range.high());
  }

  private static String said(JsonNode node) {
    return node.isMissingNode() || node.isNull() ? "missing" : node.toString();
  }

  private static String plain(double value) {
    return new java.math.BigDecimal(Double.toString(value))
        .round(new java.math.MathContext(7))
        .stripTrailingZeros()
        .toPlainString();
  }
}
