// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;

/**
 * Writes a farm as a farm description ({@code farm.yaml}), of which {@link FarmReader} makes an
 * equal farm. Everything is written out, so that no default can come to mean something else later;
 * numbers stand in the units that their keys name. Pure; for any thread.
 */
public final class FarmWriter {

  private FarmWriter() {}

  /** The description: YAML, UTF-8, one key a line but for what belongs together. */
  public static String write(Farm farm) {
    StringBuilder yaml = new StringBuilder();
    yaml.append("farm: ").append(text(farm.name())).append('\n');
    yaml.append("altitudeM: ").append(number(farm.altitudeM())).append('\n');
    boolean shared = sharesResponse(farm);
    if (shared) {
      farm.tanks().get(0).responseMinutes().ifPresent(m -> line(yaml, "responseMinutes", m));
    }
    yaml.append("tanks:\n");
    farm.tanks().forEach(tank -> tank(yaml, tank, shared));
    return yaml.toString();
  }

  /** The farm's own answer holds for every tank that has none, so all must have the same one. */
  private static boolean sharesResponse(Farm farm) {
    Set<Object> answers = new HashSet<>();
    farm.tanks().forEach(tank -> answers.add(tank.responseMinutes()));
    return answers.size() == 1;
  }

  private static void tank(StringBuilder yaml, Tank tank, boolean responseIsFarms) {
    yaml.append("  - id: ").append(text(tank.id())).append('\n');
    inTank(yaml, "name", text(tank.name()));
    inTank(yaml, "kind", tank.kind().id());
    inTank(yaml, "waterLitres", number(tank.waterLitres()));
    inTank(yaml, "depthM", number(tank.depthM()));
    inTank(yaml, "supply", supply(tank.supply()));
    if (!tank.loads().isEmpty()) {
      yaml.append("    load:\n");
      tank.loads().forEach(load -> yaml.append("      - ").append(load(load)).append('\n'));
    }
    tank.floors()
        .ifPresent(
            f ->
                inTank(
                    yaml,
                    "floors",
                    flow(
                        List.of(
                            "keepMgPerL: " + number(f.keepMgPerL()),
                            "criticalMgPerL: " + number(f.criticalMgPerL())))));
    if (!responseIsFarms) {
      tank.responseMinutes().ifPresent(m -> inTank(yaml, "responseMinutes", number(m)));
    }
    if (!tank.holding().equals(Tank.Holding.NOT_SAID)) {
      inTank(yaml, "holding", holding(tank.holding()));
    }
  }

  private static String holding(Tank.Holding holding) {
    List<String> parts = new ArrayList<>();
    holding.days().ifPresent(d -> parts.add("days: " + number(d)));
    if (!holding.daysBySpecies().isEmpty()) {
      parts.add(
          "daysBySpecies: "
              + flow(
                  new TreeMap<>(holding.daysBySpecies())
                      .entrySet().stream()
                          .map(e -> e.getKey().id() + ": " + number(e.getValue()))
                          .toList()));
    }
    holding.freshLPerHour().ifPresent(l -> parts.add("freshLPerHour: " + number(l)));
    holding.ph().ifPresent(ph -> parts.add("ph: " + number(ph)));
    holding.alkalinityMgPerL().ifPresent(a -> parts.add("alkalinityMgPerL: " + number(a)));
    return flow(parts);
  }

  private static String supply(Tank.Supply supply) {
    StringBuilder parts = new StringBuilder("{ gas: " + supply.gas().id());
    parts.append(", source: ").append(supply.source().id());
    parts.append(", diffuser: ").append(supply.diffuser().id());
    parts.append(", flowLPerMin: ").append(number(supply.flowLPerMin()));
    supply
        .cylinder()
        .ifPresent(
            c ->
                parts
                    .append(", cylinder: ")
                    .append(
                        flow(
                            List.of(
                                "waterLitres: " + number(c.waterLitres()),
                                "fullBar: " + number(c.fullBar())))));
    supply.sharedSource().ifPresent(name -> parts.append(", sharedSource: ").append(text(name)));
    supply.pausesMinutes().ifPresent(m -> parts.append(", pausesMinutes: ").append(number(m)));
    return parts.append(" }").toString();
  }

  private static String load(Tank.Load load) {
    StringBuilder parts = new StringBuilder("{ species: " + load.species().id());
    parts.append(", kg: ").append(number(load.kg()));
    load.count().ifPresent(count -> parts.append(", count: ").append(count));
    load.since().ifPresent(since -> parts.append(", since: ").append(text(since.toString())));
    return parts.append(" }").toString();
  }

  private static String flow(List<String> parts) {
    return "{ " + String.join(", ", parts) + " }";
  }

  private static void inTank(StringBuilder yaml, String key, String value) {
    yaml.append("    ").append(key).append(": ").append(value).append('\n');
  }

  private static void line(StringBuilder yaml, String key, double value) {
    yaml.append(key).append(": ").append(number(value)).append('\n');
  }

  private static String number(double value) {
    return value == Math.rint(value) && Math.abs(value) < 1e15
        ? Long.toString((long) value)
        : Double.toString(value);
  }

  /** Plain where nobody could take it for anything else, else in double quotes. */
  private static String text(String text) {
    if (text.matches("[A-Za-z][A-Za-z0-9_-]*( [A-Za-z0-9_-]+)*")
        && !text.matches("(?i)true|false|null|yes|no|on|off")) {
      return text;
    }
    StringBuilder quoted = new StringBuilder("\"");
    text.codePoints()
        .forEach(
            c -> {
              if (c == '"' || c == '\\') {
                quoted.append('\\').appendCodePoint(c);
              } else if (c < 0x20 || (c >= 0x7f && c <= 0xffff && !Character.isLetterOrDigit(c))) {
                quoted.append("\\u%04x".formatted(c));
              } else {
                quoted.appendCodePoint(c);
              }
            });
    return quoted.append('"').toString();
  }
}
