// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import opercle.analysis.stock.Species;
import opercle.analysis.trace.RealTrace;
import opercle.analysis.trace.TraceReader;
import opercle.analysis.trip.TripTank.Surface;
import opercle.analysis.tripfile.TripFile;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Validation against real fish: one zebrafish in a closed vial of 27 mL, and a vial without one
 * (Barneche, Jahn &amp; Seebacher 2019, data CC0). The figures listed beside the data are the
 * slopes by least squares over each whole file; the blank's is taken off.
 */
class ClosedVialTest {

  private static final double VIAL_LITRES = 0.027;

  @TempDir Path folder;

  @ParameterizedTest(name = "{0}")
  @CsvSource({
    "20c, 0.1147, 2.62, 0.25",
    "26c, 0.2424, 6.55, 0.34",
    "29c, 0.2200, 5.36, 0.01",
    "32c, 0.1651, 5.29, 0.21"
  })
  void demandOfOneFish_isTheListedOne_within5Percent(
      String name, double grams, double fishMgPerLPerHour, double blankMgPerLPerHour) {
    List<Reading> blank = readings("zebrafish_closed_" + name + "_blank.csv");
    double waterTakes = -slopePerHour(blank);
    List<Reading> fish = readings("zebrafish_closed_" + name + "_fish.csv");
    Trip trip = vial(grams / 1000.0, Math.max(0.0, waterTakes));
    Instant end = fish.get(fish.size() - 1).time();

    Review review = imported(trip, fish, end);

    double listed = (fishMgPerLPerHour - blankMgPerLPerHour) * VIAL_LITRES / (grams / 1000.0);
    MeasuredDemand demand = review.demand().orElseThrow();
    assertThat(demand.mgPerKgPerHour().likely()).isCloseTo(listed, within(0.05 * listed));
    assertThat(demand.mgPerKgPerHour().low()).isLessThan(listed);
    assertThat(demand.mgPerKgPerHour().high()).isGreaterThan(0.99 * listed);
    assertThat(demand.from())
        .singleElement()
        .satisfies(s -> assertThat(s.length()).isGreaterThan(Duration.ofMinutes(15)));
    assertThat(review.oxygen().orElseThrow().unknown()).isLessThan(Duration.ofSeconds(30));
  }

  private static final Farm FARM =
      FarmReader.parse(
          "farm.yaml",
          """
          farm: Sallowmere
          tanks:
            - id: t1
              name: Vial
              kind: holding
              waterLitres: 1
              supply: { gas: air, source: blower, diffuser: air-stone, flowLPerMin: 1 }
          """);

  /**
   * Through the file of a trip and the door through which a keeper takes it in, as it comes from a
   * lorry, and twice at that.
   */
  private Review imported(Trip trip, List<Reading> readings, Instant end) {
    TripLog log =
        TripLog.of(MadeTrip.loaded(trip))
            .with(
                new TripEntry.Unloaded(
                    "over", end, "Maren", Optional.empty(), List.of(), OptionalDouble.empty(), ""));
    ByteArrayOutputStream file = new ByteArrayOutputStream();
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      new TripFile("Sallowmere", log, readings, List.of(), List.of()).write(file);
      TripRecords trips = new TripRecords(book, "Sallowmere");
      FarmRecords versions = new FarmRecords(book);
      TripDoor door =
          new TripDoor(
              trips,
              FarmDesk.open(versions, FARM, "farm.yaml", () -> end),
              versions,
              new RecordBook(book, "Sallowmere"),
              () -> end);
      for (int time = 1; time <= 2; time++) {
        TripRecords.Taken taken =
            door.take(
                TripFile.read("vial.json", new ByteArrayInputStream(file.toByteArray()))
                    .takenInBy("Sallowmere"));
        assertThat(taken.readings()).as("time %d", time).isEqualTo(time == 1 ? readings.size() : 0);
        assertThat(taken.entries()).as("time %d", time).isEqualTo(time == 1 ? 2 : 0);
      }
      TripLog there = trips.trip(trip.id()).orElseThrow();
      List<Reading> kept = trips.readings(there);
      assertThat(kept).hasSameSizeAs(readings);
      return Review.of(
          there, new TripTrace(START, end, kept, List.of(), List.of()), trips.demands());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static Trip vial(double kg, double waterTakes) {
    Tank.Supply none =
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.AIR_STONE, 0.0, Optional.empty());
    return new Trip(
        "vial",
        Trip.Kind.NIGHT,
        new TripTank(
            "t1", "Vial", VIAL_LITRES, 0.05, none, Surface.NONE, 101.325, waterTakes, 0.0, 0.0),
        Optional.empty(),
        "",
        "",
        List.of(new Tank.Load(Species.ROACH, kg, OptionalInt.of(1), Optional.empty())),
        OptionalDouble.empty(),
        new TripLimits(3.0, 1.0, 130.0),
        OptionalDouble.empty(),
        Optional.empty(),
        Optional.empty());
  }

  private static double slopePerHour(List<Reading> readings) {
    List<Reading> oxygen = readings.stream().filter(r -> r.quantity() == Quantity.OXYGEN).toList();
    return StraightLine.through(
            oxygen.stream()
                .mapToDouble(r -> Duration.between(START, r.time()).toMillis() / 3.6e6)
                .toArray(),
            oxygen.stream().mapToDouble(Reading::value).toArray())
        .slope();
  }

  private static List<Reading> readings(String file) {
    String csv = RealTrace.asTrace(file, START);
    List<Reading> readings = new ArrayList<>();
    try (TraceReader reader =
        new TraceReader(
            file,
            new java.io.StringReader(csv),
            t -> true,
            p -> {
              throw new UncheckedIOException(new IOException(p.toString()));
            })) {
      for (Reading r = reader.next(); r != null; r = reader.next()) {
        readings.add(new Reading("t1", r.quantity(), r.probe(), r.time(), r.value()));
      }
    }
    return readings;
  }
}
