// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.StringReader;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.settings.Problem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TraceReaderTest {

  private final List<Problem> broken = new ArrayList<>();

  private List<Reading> read(String csv) {
    List<Reading> readings = new ArrayList<>();
    try (TraceReader trace =
        new TraceReader(
            "trip.csv", new StringReader(csv), Set.of("h1", "t1")::contains, broken::add)) {
      for (Reading r = trace.next(); r != null; r = trace.next()) {
        readings.add(r);
      }
    }
    return readings;
  }

  @Test
  void columns_inAnyOrder_withProbeAndUnit() {
    List<Reading> readings =
        read(
            "unit,value,probe,quantity,tank,time\ndegF,50,2,temperature,t1,2026-03-14T02:11:07.5Z\n");

    assertThat(readings).hasSize(1);
    Reading r = readings.get(0);
    assertThat(r.series().probe()).isEqualTo("2");
    assertThat(r.value()).isCloseTo(10.0, org.assertj.core.api.Assertions.within(1e-9));
    assertThat(r.time()).isEqualTo(Instant.parse("2026-03-14T02:11:07.5Z"));
  }

  @Test
  void oxygenInPercent_isASaturation() {
    List<Reading> readings =
        read("time,tank,quantity,value,unit\n2026-03-14T02:11:07Z,h1,oxygen,95,%\n");

    assertThat(readings.get(0).quantity()).isEqualTo(Quantity.OXYGEN_SATURATION);
    assertThat(readings.get(0).value()).isEqualTo(95.0);
  }

  @ParameterizedTest
  @CsvSource({
    "2026-03-14T02:11:07Z, 2026-03-14T02:11:07Z",
    "2026-03-14T03:11:07+01:00, 2026-03-14T02:11:07Z",
    "2026-03-14T02:11:07.123456Z, 2026-03-14T02:11:07.123456Z",
    "1773454267, 2026-03-14T02:11:07Z",
    "1773454267.25, 2026-03-14T02:11:07.250Z",
    "1.773454267e9, 2026-03-14T02:11:07Z",
  })
  void time_inRfc3339OrSecondsSince1970(String written, Instant meant) {
    assertThat(read("time,tank,quantity,value\n" + written + ",h1,oxygen,9\n"))
        .extracting(Reading::time)
        .containsExactly(meant);
  }

  @Test
  void quotedCellsAndByteOrderMarkAndCarriageReturns_areRead() {
    assertThat(read("\uFEFF\"time\",tank,quantity,value\r\n\"1773454267\",h1,oxygen,\"9.1\"\r\n"))
        .hasSize(1);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "yesterday,h1,oxygen,9 | trip.csv:3: time: \"yesterday\" is neither a time such as",
        "2100-01-01T00:00:00Z,h1,oxygen,9 | trip.csv:3: time: \"2100-01-01T00:00:00Z\" is outside the years",
        "0,h1,oxygen,9 | trip.csv:3: time: \"0\" is outside the years 2000 to 2099",
        "1773454267,x9,oxygen,9 | trip.csv:3: tank: \"x9\" is not a tank of this farm",
        "1773454267,h1,oxigen,9 | trip.csv:3: quantity: \"oxigen\" is not a quantity that Opercle knows",
        "1773454267,h1,oxygen,nine | trip.csv:3: value: \"nine\" is not a number",
        "1773454267,h1,oxygen,NaN | trip.csv:3: value: NaN mg/L is outside the plausible range of oxygen",
        "1773454267,h1,oxygen,900 | trip.csv:3: value: 900.0 mg/L is outside the plausible range of oxygen",
        "1773454267,h1,oxygen | trip.csv:3: has 3 fields, the header has 4",
      })
  void brokenRow_isToldWithFileLineFieldAndValue_andTheTraceGoesOn(String row, String told) {
    String good = "1773454267,h1,oxygen,9.0\n";

    List<Reading> readings = read("time,tank,quantity,value\n" + good + row + "\n" + good);

    assertThat(readings).hasSize(2);
    assertThat(broken).singleElement().asString().startsWith(told.strip());
  }

  @Test
  void unknownUnit_isTold() {
    read("time,tank,quantity,value,unit\n1773454267,h1,oxygen,9,furlong\n");

    assertThat(broken)
        .singleElement()
        .hasToString("trip.csv:2: unit: \"furlong\" is not a unit of oxygen");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "time,tank,quantity | trip.csv:1: value: the column is missing",
        "time,tank,quantity,vlaue | trip.csv:1: vlaue: unknown column (did you mean value?)",
        "time,tank,quantity,value,time | trip.csv:1: time: the column is there twice",
      })
  void brokenHeader_endsTheReading(String header, String told) {
    assertThatThrownBy(() -> read(header + "\n")).hasMessage(told.strip());
  }

  @Test
  void emptyFile_saysWhatBelongsThere() {
    assertThatThrownBy(() -> read(""))
        .hasMessageStartingWith("trip.csv:1: is empty; the first row");
  }
}
