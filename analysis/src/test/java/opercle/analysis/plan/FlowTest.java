// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class FlowTest {

  /** 2 L/min for an hour, then from 1 to 3 L/min over the two hours that are left. */
  private static final Flow WARMING = new Flow(2.0, 1.0, 3.0, 180.0);

  @Test
  void flow_goesEvenlyFromAnHourToTheEnd() {
    assertThat(WARMING.at(0.5)).isEqualTo(2.0);
    assertThat(WARMING.at(1.0)).isEqualTo(1.0);
    assertThat(WARMING.at(2.0)).isCloseTo(2.0, within(1e-12));
    assertThat(WARMING.at(3.0)).isCloseTo(3.0, within(1e-12));
    assertThat(WARMING.at(9.0)).isCloseTo(3.0, within(1e-12));
  }

  @Test
  void litres_areTheAreaUnderTheFlow() {
    assertThat(WARMING.litresOver(30.0)).isCloseTo(60.0, within(1e-9));
    assertThat(WARMING.litresOver(120.0)).isCloseTo(120.0 + 60.0 * 1.5, within(1e-9));
    assertThat(WARMING.litresOver(180.0)).isCloseTo(120.0 + 240.0, within(1e-9));
    assertThat(WARMING.litresOver(200.0)).isCloseTo(360.0 + 60.0, within(1e-9));
  }

  @Test
  void flow_ofATripUnderAnHour_isTheFirstAndThenTheSecond() {
    Flow shortTrip = new Flow(2.0, 1.0, 1.0, 45.0);

    assertThat(shortTrip.litresOver(45.0)).isEqualTo(90.0);
    assertThat(shortTrip.minutesFor(150.0)).isCloseTo(90.0, within(1e-9));
  }

  @Test
  void gas_thatIsNotDrawn_neverEnds() {
    assertThat(Flow.steady(0.0).minutesFor(100.0)).isInfinite();
    assertThat(new Flow(1.0, 0.0, 0.0, 240.0).minutesFor(100.0)).isInfinite();
  }

  @Property
  void minutes_areThoseInWhichTheLitresGoOut(
      @ForAll @DoubleRange(min = 0.1, max = 10.0) double first,
      @ForAll @DoubleRange(min = 0.1, max = 10.0) double after,
      @ForAll @DoubleRange(min = 0.1, max = 10.0) double atEnd,
      @ForAll @DoubleRange(min = 1.0, max = 4320.0) double trip,
      @ForAll @DoubleRange(min = 0.1, max = 50_000.0) double litres) {
    Flow flow = new Flow(first, after, atEnd, trip);

    assertThat(flow.litresOver(flow.minutesFor(litres))).isCloseTo(litres, within(1e-6 * litres));
  }
}
