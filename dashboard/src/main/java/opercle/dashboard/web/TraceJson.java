// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import opercle.analysis.farm.Tank;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.OxygenSolubility;
import opercle.dashboard.web.Traces.Bucket;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Series;

/**
 * Past readings as JSON. Points are arrays: seconds since 1970, smallest, mean, largest, and of how
 * many readings. For any thread.
 */
final class TraceJson {

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;
  private static final int POINTS_IN_LAST_HOUR = 60;
  private static final double FRESH_WATER_G_PER_KG = 0.0;

  private final LiveFarm live;
  private final Traces traces;
  private final OxygenSolubility solubility = new BensonKrause1984();

  TraceJson(LiveFarm live, Traces traces) {
    this.live = live;
    this.traces = traces;
  }

  /**
   * One tank's trace. With oxygen comes the level at saturation, mg/L, for the temperature,
   * salinity and air pressure measured at the time; where nothing measures the latter two, for
   * fresh water and the farm's altitude.
   */
  ObjectNode trace(Tank tank, TraceQuery query) {
    ObjectNode node = NODES.objectNode();
    node.put("tank", tank.id());
    node.put("quantity", query.quantity().id());
    node.put("unit", query.quantity().unit());
    node.put("from", query.from().toString());
    node.put("to", query.to().toString());
    node.put("partSeconds", Json.rounded(query.partSeconds()));
    ArrayNode probes = node.putArray("probes");
    for (Series series : series(tank, query.quantity())) {
      if (query.probe().map(series.probe()::equals).orElse(true)) {
        ObjectNode probe = probes.addObject().put("probe", series.probe());
        ArrayNode points = probe.putArray("points");
        buckets(series, query).forEach(b -> points.add(point(b)));
      }
    }
    if (query.quantity() == Quantity.OXYGEN) {
      node.set("saturation", saturation(tank, query));
    }
    return node;
  }

  /**
   * Every tank's oxygen over the last hour, a point a minute: seconds since 1970 and mg/L. Where a
   * tank has several probes, the lowest counts.
   */
  ObjectNode lastHour() {
    Instant to = live.now().truncatedTo(ChronoUnit.MINUTES).plus(Duration.ofMinutes(1));
    Instant from = to.minus(Duration.ofMinutes(POINTS_IN_LAST_HOUR));
    ObjectNode node = NODES.objectNode();
    node.put("from", from.toString());
    node.put("to", to.toString());
    ObjectNode tanks = node.putObject("tanks");
    for (Tank tank : live.farm().tanks()) {
      var lowest = new TreeMap<Long, Double>();
      for (Series series : series(tank, Quantity.OXYGEN)) {
        for (Bucket b : traces.buckets(series, from, to, POINTS_IN_LAST_HOUR)) {
          lowest.merge(b.start().getEpochSecond(), b.mean(), Math::min);
        }
      }
      ArrayNode points = tanks.putArray(tank.id());
      lowest.forEach((second, mean) -> points.addArray().add(second).add(Json.rounded(mean)));
    }
    return node;
  }

  private ArrayNode saturation(Tank tank, TraceQuery query) {
    ArrayNode points = NODES.arrayNode();
    double altitudeKPa = AirPressure.atAltitudeKPa(live.farm().altitudeM());
    NavigableMap<Instant, Double> salinities = means(tank, Quantity.SALINITY, query);
    NavigableMap<Instant, Double> pressures = means(tank, Quantity.AIR_PRESSURE, query);
    for (Bucket b : firstProbe(tank, Quantity.TEMPERATURE, query)) {
      double salinity = latest(salinities, b.start()).orElse(FRESH_WATER_G_PER_KG);
      double pressureKPa = latest(pressures, b.start()).orElse(altitudeKPa);
      try {
        double mgPerL = solubility.saturationMgPerL(b.mean(), Math.max(0.0, salinity), pressureKPa);
        points.addArray().add(b.start().getEpochSecond()).add(Json.rounded(mgPerL));
      } catch (IllegalArgumentException outsideTheFormula) {
        // a thermometer out of the water: the curve has a gap there
      }
    }
    return points;
  }

  private NavigableMap<Instant, Double> means(Tank tank, Quantity quantity, TraceQuery query) {
    var means = new TreeMap<Instant, Double>();
    firstProbe(tank, quantity, query).forEach(b -> means.put(b.start(), b.mean()));
    return means;
  }

  private static Optional<Double> latest(NavigableMap<Instant, Double> values, Instant at) {
    return Optional.ofNullable(values.floorEntry(at)).map(Map.Entry::getValue);
  }

  private List<Bucket> firstProbe(Tank tank, Quantity quantity, TraceQuery query) {
    return series(tank, quantity).stream()
        .findFirst()
        .map(s -> buckets(s, query))
        .orElse(List.of());
  }

  private List<Series> series(Tank tank, Quantity quantity) {
    return traces.series(tank.id()).stream()
        .filter(s -> s.quantity() == quantity)
        .sorted(Comparator.comparing(Series::probe))
        .toList();
  }

  private List<Bucket> buckets(Series series, TraceQuery query) {
    return traces.buckets(series, query.from(), query.to(), query.points());
  }

  private static ArrayNode point(Bucket b) {
    return NODES
        .arrayNode()
        .add(b.start().getEpochSecond())
        .add(Json.rounded(b.min()))
        .add(Json.rounded(b.mean()))
        .add(Json.rounded(b.max()))
        .add(b.count());
  }
}
