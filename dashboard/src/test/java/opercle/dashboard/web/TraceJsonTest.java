// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;

/** The level at saturation that goes with a trace of oxygen. */
class TraceJsonTest {

  private final FakeFarm farm = FakeFarm.quiet();

  @Test
  void saturation_inFreshWater_isThatOfTheFarmsAltitude() {
    // Standard Methods 4500-O: 10.78 mg/L at 12 °C and one atmosphere; 40 m up takes 0.5 % off.
    assertThat(saturationMgPerL(Map.of(Quantity.TEMPERATURE, 12.0))).isBetween(10.70, 10.76);
  }

  @Test
  void saturation_whereSaltAndAirAreMeasured_goesByThem() {
    var measured =
        Map.of(Quantity.TEMPERATURE, 12.0, Quantity.SALINITY, 35.0, Quantity.AIR_PRESSURE, 90.0);

    // Benson & Krause 1984, 12 °C and 35 g/kg: 8.66 mg/L at 101.325 kPa, at 90 kPa 11.3 % less.
    assertThat(saturationMgPerL(measured)).isBetween(7.63, 7.73);
  }

  @Test
  void saturation_withAThermometerOutOfTheFormulasRange_isLeftOut() {
    assertThat(saturation(Map.of(Quantity.TEMPERATURE, 55.0))).isEmpty();
  }

  private double saturationMgPerL(Map<Quantity, Double> measured) {
    JsonNode points = saturation(measured);
    assertThat(points).hasSize(1);
    return points.path(0).path(1).asDouble();
  }

  private JsonNode saturation(Map<Quantity, Double> measured) {
    Tank tank = farm.farm().tank("h2").orElseThrow();
    return new TraceJson(farm, new Steady(measured))
        .trace(tank, TraceQuery.of(Map.of(), farm.now()))
        .path("saturation");
  }

  /** The same value always. */
  private record Steady(Map<Quantity, Double> measured) implements Traces {

    @Override
    public List<Series> series(String tank) {
      return measured.keySet().stream()
          .map(quantity -> new Series(tank, quantity, Reading.DEFAULT_PROBE))
          .toList();
    }

    @Override
    public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
      double value = measured.getOrDefault(series.quantity(), Double.NaN);
      return List.of(new Bucket(from, value, value, value, 1));
    }

    @Override
    public List<Reading> readings(Series series, Instant from, Instant to) {
      return List.of();
    }
  }
}
