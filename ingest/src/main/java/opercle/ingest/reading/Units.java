// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import static java.util.Map.entry;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/**
 * The units that probes and traces may use, and the one place where they are converted.
 *
 * <p>Unit names are case-sensitive, as in SenML (RFC 8428, section 12.1, and RFC 8798). Exact
 * definitions throughout: the international foot (0.3048 m) and pound-force per square inch
 * (6.894757293168 kPa), 273.15 K at 0 °C.
 *
 * <p>Stateless; safe to share between threads.
 */
public final class Units {

  private static final double KELVIN_AT_0_C = 273.15;
  private static final double KELVIN_AT_15_C = 288.15;

  private static final double LITRES_PER_CUBIC_FOOT = 28.316846592;
  private static final double BAR_PER_PSI = 0.06894757293168;

  /** From a unit to the canonical one: {@code value * factor + offset}. */
  private record Conversion(Quantity to, double factor, double offset) {
    Measured of(double value) {
      return new Measured(to, value * factor + offset);
    }
  }

  private static final Map<Quantity, Map<String, Conversion>> TABLE =
      Map.ofEntries(
          // A share of saturation becomes a reading of saturation: only the analysis, which knows
          // the tank's temperature and the air pressure, can turn it into mg/L.
          table(Quantity.OXYGEN)
              .unit("mg/L", 1.0)
              .unit("mg/l", 1.0)
              .unit("kg/m3", 1000.0)
              .unitOf(Quantity.OXYGEN_SATURATION, "%", 1.0)
              .unitOf(Quantity.OXYGEN_SATURATION, "/", 100.0)
              .done(),
          table(Quantity.OXYGEN_SATURATION).unit("%", 1.0).unit("/", 100.0).done(),
          table(Quantity.TEMPERATURE)
              .unit("°C", 1.0)
              .unit("Cel", 1.0)
              .unit("K", 1.0, -KELVIN_AT_0_C)
              .unit("degF", 5.0 / 9.0, -32.0 * 5.0 / 9.0)
              .done(),
          // Plain litres and cubic feet are taken as referred to 15 °C and 101.325 kPa already.
          // Normal litres are not: at equal pressure a gas takes up room in proportion to its
          // absolute temperature.
          table(Quantity.GAS_FLOW)
              .unit("L/min", 1.0)
              .unit("l/s", 60.0)
              .unit("m3/s", 60_000.0)
              .unit("L/min@0C", KELVIN_AT_15_C / KELVIN_AT_0_C)
              .unit("cfh", LITRES_PER_CUBIC_FOOT / 60.0)
              .done(),
          gaugePressure(Quantity.LINE_PRESSURE),
          gaugePressure(Quantity.CYLINDER_PRESSURE),
          table(Quantity.AIR_PRESSURE)
              .unit("kPa", 1.0)
              .unit("Pa", 0.001)
              .unit("hPa", 0.1)
              .unit("mbar", 0.1)
              .done(),
          table(Quantity.PH).unit("1", 1.0).unit("pH", 1.0).done(),
          table(Quantity.SALINITY).unit("g/kg", 1.0).done(),
          table(Quantity.WATER_LEVEL).unit("L", 1.0).unit("l", 1.0).unit("m3", 1000.0).done());

  private Units() {}

  /**
   * Brings a value to the canonical unit.
   *
   * <p>Gas flow in {@code L/min}, {@code l/s}, {@code m3/s} and {@code cfh} is taken as volume
   * already referred to 15 °C and 101.325 kPa; {@code L/min@0C} (normal litres) is brought from 0
   * °C. Pressures of line and cylinder are gauge pressures in every unit. Oxygen in {@code %} or
   * {@code /} becomes {@link Quantity#OXYGEN_SATURATION}.
   *
   * @param quantity what was measured
   * @param value in {@code unit}; NaN and infinities come back as they are
   * @param unit a unit of the quantity, see {@link #accepted}
   * @return the value in the canonical unit, or empty if the quantity has no such unit
   */
  public static Optional<Measured> toCanonical(Quantity quantity, double value, String unit) {
    return Optional.ofNullable(unitsOf(quantity).get(unit)).map(c -> c.of(value));
  }

  /** The accepted units of a quantity for a message to a person, the canonical one first. */
  public static String accepted(Quantity quantity) {
    return String.join(", ", unitsOf(quantity).keySet());
  }

  private static Map<String, Conversion> unitsOf(Quantity quantity) {
    return TABLE.getOrDefault(quantity, Map.of());
  }

  private static Map.Entry<Quantity, Map<String, Conversion>> gaugePressure(Quantity quantity) {
    return table(quantity)
        .unit("bar", 1.0)
        .unit("Pa", 1e-5)
        .unit("kPa", 0.01)
        .unit("psi", BAR_PER_PSI)
        .done();
  }

  private static Rows table(Quantity quantity) {
    return new Rows(quantity);
  }

  /** Collects one quantity's units, in the order in which a person is told of them. */
  private static final class Rows {
    private final Quantity quantity;
    private final Map<String, Conversion> units = new LinkedHashMap<>();

    Rows(Quantity quantity) {
      this.quantity = quantity;
    }

    Rows unit(String unit, double factor) {
      return unit(unit, factor, 0.0);
    }

    Rows unit(String unit, double factor, double offset) {
      units.put(unit, new Conversion(quantity, factor, offset));
      return this;
    }

    Rows unitOf(Quantity other, String unit, double factor) {
      units.put(unit, new Conversion(other, factor, 0.0));
      return this;
    }

    Map.Entry<Quantity, Map<String, Conversion>> done() {
      return entry(quantity, units);
    }
  }
}
