// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;

/** What is different between two descriptions of a farm, in words for the keeper. Pure. */
public final class FarmChanges {

  private static final DateTimeFormatter DAY_AND_TIME =
      DateTimeFormatter.ofPattern("d MMM uuuu HH:mm 'UTC'", Locale.UK).withZone(ZoneOffset.UTC);

  private FarmChanges() {}

  /**
   * The differences, the farm's own first, then tank by tank.
   *
   * @return one short sentence each; empty where the descriptions say the same
   */
  public static List<String> between(Farm before, Farm after) {
    List<String> changes = new ArrayList<>();
    differ(changes, "Farm", "name", before, after, Farm::name);
    differ(changes, "Farm", "altitude", before, after, f -> amount(f.altitudeM(), "m"));
    for (Tank tank : before.tanks()) {
      if (after.tank(tank.id()).isEmpty()) {
        changes.add("%s is taken out of the farm.".formatted(tank.name()));
      }
    }
    for (Tank tank : after.tanks()) {
      Optional<Tank> was = before.tank(tank.id());
      if (was.isEmpty()) {
        changes.add(
            "%s is new: %s, %s, %s."
                .formatted(
                    tank.name(), tank.kind().id(), amount(tank.waterLitres(), "L"), loads(tank)));
      } else {
        tank(changes, was.get(), tank);
      }
    }
    if (changes.isEmpty() && !order(before).equals(order(after))) {
      changes.add("The tanks stand in another order.");
    }
    return changes;
  }

  private static void tank(List<String> changes, Tank before, Tank after) {
    String who = after.name();
    differ(changes, who, "name", before, after, Tank::name);
    differ(changes, who, "kind", before, after, t -> t.kind().id());
    differ(changes, who, "water", before, after, t -> amount(t.waterLitres(), "L"));
    differ(changes, who, "depth", before, after, t -> amount(t.depthM(), "m"));
    differ(changes, who, "supply", before, after, t -> supply(t.supply()));
    differ(changes, who, "fish", before, after, FarmChanges::loads);
    differ(changes, who, "floors", before, after, FarmChanges::floors);
    differ(changes, who, "time to get there", before, after, FarmChanges::response);
    differ(changes, who, "holding", before, after, t -> holding(t.holding()));
  }

  private static <T> void differ(
      List<String> changes, String who, String what, T before, T after, Function<T, String> of) {
    String was = of.apply(before);
    String is = of.apply(after);
    if (!was.equals(is)) {
      changes.add("%s: %s is %s, was %s.".formatted(who, what, is, was));
    }
  }

  private static List<String> order(Farm farm) {
    return farm.tanks().stream().map(Tank::id).toList();
  }

  /** The fish in a tank, in words, without since when. */
  public static String fish(Tank tank) {
    return words(tank, FarmChanges::ofKind);
  }

  private static String loads(Tank tank) {
    return words(
        tank,
        load ->
            ofKind(load) + load.since().map(t -> " since " + DAY_AND_TIME.format(t)).orElse(""));
  }

  private static String words(Tank tank, Function<Tank.Load, String> load) {
    return tank.loads().isEmpty()
        ? "no fish"
        : tank.loads().stream().map(load).collect(Collectors.joining(", "));
  }

  private static String ofKind(Tank.Load load) {
    String count = load.count().isPresent() ? " (%d fish)".formatted(load.count().getAsInt()) : "";
    return amount(load.kg(), "kg") + " of " + load.species().commonName() + count;
  }

  private static String supply(Tank.Supply supply) {
    String cylinder =
        supply
            .cylinder()
            .map(
                c ->
                    " of %s at %s"
                        .formatted(amount(c.waterLitres(), "L"), amount(c.fullBar(), "bar")))
            .orElse("");
    String shared = supply.sharedSource().map(s -> " shared as \"" + s + "\"").orElse("");
    String pauses =
        supply.pausesMinutes().isPresent()
            ? ", off by a timer for at most %s at a time"
                .formatted(amount(supply.pausesMinutes().getAsDouble(), "min"))
            : "";
    return "%s from a %s%s%s through %s at %s%s"
        .formatted(
            supply.gas().id(),
            supply.source().id(),
            cylinder,
            shared,
            supply.diffuser().id().replace('-', ' '),
            amount(supply.flowLPerMin(), "L/min"),
            pauses);
  }

  private static String floors(Tank tank) {
    return tank.floors()
        .map(
            f ->
                "keep %s, critical %s"
                    .formatted(amount(f.keepMgPerL(), "mg/L"), amount(f.criticalMgPerL(), "mg/L")))
        .orElse("by species");
  }

  private static String response(Tank tank) {
    return tank.responseMinutes().isPresent()
        ? amount(tank.responseMinutes().getAsDouble(), "min")
        : "not said";
  }

  private static String holding(Tank.Holding holding) {
    List<String> said = new ArrayList<>();
    holding.days().ifPresent(d -> said.add("at most " + amount(d, "days")));
    new TreeMap<>(holding.daysBySpecies())
        .forEach((species, d) -> said.add(species.commonName() + " " + amount(d, "days")));
    holding.freshLPerHour().ifPresent(l -> said.add("fresh water " + amount(l, "L/h")));
    holding.ph().ifPresent(ph -> said.add("pH " + ph));
    holding.alkalinityMgPerL().ifPresent(a -> said.add("alkalinity " + amount(a, "mg/L")));
    return said.isEmpty() ? "not said" : String.join(", ", said);
  }

  private static String amount(double value, String unit) {
    // What was typed in pounds or gallons has a long tail of digits.
    return BigDecimal.valueOf(value)
            .setScale(3, RoundingMode.HALF_UP)
            .stripTrailingZeros()
            .toPlainString()
        + " "
        + unit;
  }
}
