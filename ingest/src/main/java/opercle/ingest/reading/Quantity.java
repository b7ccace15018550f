// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.reading;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * What a probe measures. Each quantity has one canonical unit, in which every {@link Reading} is
 * held.
 *
 * <p>The plausible range is that of the instruments on the market and of water that fish live in,
 * with room to spare (<i>common practice</i>); a value outside it is a broken probe or a wrong
 * unit, never a tank, and is rejected at the front door.
 */
public enum Quantity {
  /** Dissolved oxygen, mg/L. Pure oxygen at 0 °C and 1 atm saturates at about 70 mg/L. */
  OXYGEN("oxygen", "mg/L", -0.5, 80.0),
  /** Dissolved oxygen as a percentage of air saturation at the site's pressure. */
  OXYGEN_SATURATION("oxygen-saturation", "%", -5.0, 600.0),
  /** Water temperature, °C. */
  TEMPERATURE("temperature", "°C", -10.0, 60.0),
  /** Gas flow, L/min of dry gas referred to 15 °C and 101.325 kPa. */
  GAS_FLOW("gas-flow", "L/min", -1.0, 5000.0),
  /** Pressure in the gas line at the meter's outlet, bar gauge. */
  LINE_PRESSURE("line-pressure", "bar", -1.1, 400.0),
  /** Pressure of the cylinder, bar gauge. */
  CYLINDER_PRESSURE("cylinder-pressure", "bar", -1.1, 400.0),
  /** Pressure of the air at the site (not reduced to sea level), kPa absolute. */
  AIR_PRESSURE("air-pressure", "kPa", 40.0, 120.0),
  /** pH of the water. */
  PH("ph", "1", 0.0, 14.0),
  /** Salinity, g/kg. */
  SALINITY("salinity", "g/kg", -0.5, 100.0),
  /** Water in the tank, L. */
  WATER_LEVEL("water-level", "L", 0.0, 1_000_000.0);

  private static final Map<String, Quantity> BY_ID =
      Arrays.stream(values()).collect(Collectors.toUnmodifiableMap(Quantity::id, q -> q));

  private final String id;
  private final String unit;
  private final double lowestPlausible;
  private final double highestPlausible;

  Quantity(String id, String unit, double lowestPlausible, double highestPlausible) {
    this.id = id;
    this.unit = unit;
    this.lowestPlausible = lowestPlausible;
    this.highestPlausible = highestPlausible;
  }

  /** The name used in topics, traces and the store, for instance {@code gas-flow}. */
  public String id() {
    return id;
  }

  /** The canonical unit, as people write it. */
  public String unit() {
    return unit;
  }

  /** The lowest value that is believed, in the canonical unit. */
  public double lowestPlausible() {
    return lowestPlausible;
  }

  /** The highest value that is believed, in the canonical unit. */
  public double highestPlausible() {
    return highestPlausible;
  }

  /** Whether a value in the canonical unit is a number within the plausible range. */
  public boolean isPlausible(double value) {
    return value >= lowestPlausible && value <= highestPlausible; // NaN is refused by both
  }

  /** The quantity of that id, or empty if there is none. */
  public static Optional<Quantity> of(String id) {
    return Optional.ofNullable(BY_ID.get(id));
  }
}
