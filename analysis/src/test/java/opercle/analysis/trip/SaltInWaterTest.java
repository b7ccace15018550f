// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static opercle.analysis.trip.MadeTrip.loaded;
import static opercle.analysis.trip.MadeTrip.reading;
import static opercle.analysis.trip.MadeTrip.readings;
import static opercle.analysis.trip.MadeTrip.trace;
import static opercle.analysis.trip.MadeTrip.trailer;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class SaltInWaterTest {

  @Test
  void salt_isTheProbesWhereItSpokeWithinTheHour_elseAsKnownAtTheStart() {
    TripTrace trace = trace(180, List.of(reading(Quantity.SALINITY, 600, 5.0)));
    SaltInWater salt = new SaltInWater(trailer("salt"), trace);

    assertThat(salt.at(START)).isEqualTo(5.0);
    assertThat(salt.at(START.plusSeconds(600 + 3600))).isEqualTo(5.0);
    assertThat(salt.at(START.plusSeconds(600 + 3601))).isEqualTo(0.0);
    assertThat(salt.mean(START, START.plusSeconds(1200))).isEqualTo(5.0);
    assertThat(salt.mean(START.plusSeconds(7200), START.plusSeconds(9000))).isEqualTo(0.0);
  }

  @Test
  void saltThatNoWaterHolds_isCutToTheRange() {
    SaltInWater salt =
        new SaltInWater(trailer("salt"), trace(60, List.of(reading(Quantity.SALINITY, 0, 400.0))));

    assertThat(salt.at(START)).isEqualTo(TripTank.SALT.high());
  }

  /** 10.933 mg/L at 10 °C and 5 g/kg by TEOS-10, do_gsw_o2sol.csv; 11.287 without salt. */
  @Test
  void percentOfSaturation_countsTheSalt() {
    List<Reading> readings = new ArrayList<>(readings(Quantity.OXYGEN, 10, 3600, s -> 12.0));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0));
    readings.addAll(readings(Quantity.SALINITY, 60, 3600, s -> 5.0));

    OxygenFigures figures =
        Review.of(TripLog.of(loaded(trailer("salt"))), trace(60, readings), List.of())
            .oxygen()
            .orElseThrow();

    assertThat(figures.highestPercent().orElseThrow()).isCloseTo(100 * 12.0 / 10.933, within(0.1));
  }
}
