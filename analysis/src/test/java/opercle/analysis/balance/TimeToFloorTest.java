// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.Band;
import org.junit.jupiter.api.Test;

class TimeToFloorTest {

  @Test
  void minutes_withoutExchange_areReserveOverDemand() {
    assertThat(TimeToFloor.minutes(11.288, 3.0, 0.0, 11.288, 4.444)).isCloseTo(111.9, within(0.05));
  }

  @Test
  void minutes_withExchangeThatHoldsAboveTheFloor_areInfinite() {
    assertThat(TimeToFloor.minutes(13.108, 3.0, 0.1, 13.108, 1.0)).isInfinite();
  }

  @Test
  void minutes_settlingExactlyOnTheFloor_areInfinite() {
    assertThat(TimeToFloor.minutes(10.0, 4.0, 0.5, 10.0, 3.0)).isInfinite();
  }

  @Test
  void minutes_atOrBelowTheFloor_areZeroEvenWhenRising() {
    assertThat(TimeToFloor.minutes(2.0, 3.0, 5.0, 12.0, 1.0)).isZero();
    assertThat(TimeToFloor.minutes(3.0, 3.0, 0.0, 12.0, 1.0)).isZero();
  }

  @Test
  void minutes_withoutDemandOrExchange_areInfinite() {
    assertThat(TimeToFloor.minutes(9.0, 3.0, 0.0, 9.0, 0.0)).isInfinite();
  }

  @Test
  void minutes_ofADemandBand_putTheHighDemandFirst() {
    Band minutes = TimeToFloor.minutes(9.0, 3.0, 0.1, 9.0, new Band(0.5, 12.0, 24.0));

    assertThat(minutes.low()).isBetween(0.0, minutes.likely());
    assertThat(minutes.high()).isInfinite();
  }

  @Test
  void minutes_ofANumberThatIsNone_nameTheArgument() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TimeToFloor.minutes(Double.NaN, 3.0, 0.1, 9.0, 12.0))
        .withMessageContaining("oxygen")
        .withMessageContaining("mg/L");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TimeToFloor.minutes(9.0, 3.0, -0.1, 9.0, 12.0))
        .withMessageContaining("exchange")
        .withMessageContaining("-0.1");
  }

  @Property
  void minutes_asExchangeVanishes_joinTheAnswerWithoutExchange(
      @ForAll @DoubleRange(min = 4.0, max = 20.0) double oxygen,
      @ForAll @DoubleRange(min = 0.5, max = 60.0) double demand) {
    double without = TimeToFloor.minutes(oxygen, 3.0, 0.0, 10.0, demand);
    double nearly = TimeToFloor.minutes(oxygen, 3.0, 1e-9, 10.0, demand);

    assertThat(nearly).isCloseTo(without, within(1e-6 * without));
  }

  @Property
  void minutes_withMoreDemand_areNeverMore(
      @ForAll @DoubleRange(min = 3.0, max = 20.0) double oxygen,
      @ForAll @DoubleRange(min = 0.0, max = 2.0) double exchange,
      @ForAll @DoubleRange(min = 0.0, max = 60.0) double demand,
      @ForAll @DoubleRange(min = 0.0, max = 60.0) double more) {
    double minutes = TimeToFloor.minutes(oxygen, 3.0, exchange, 10.0, demand);

    assertThat(TimeToFloor.minutes(oxygen, 3.0, exchange, 10.0, demand + more))
        .isLessThanOrEqualTo(minutes);
  }

  @Property
  void oxygenAtTheTimeFound_isTheFloor(
      @ForAll @DoubleRange(min = 3.1, max = 20.0) double oxygen,
      @ForAll @DoubleRange(min = 0.01, max = 2.0) double exchange,
      @ForAll @DoubleRange(min = 15.0, max = 60.0) double demand) {
    double minutes = TimeToFloor.minutes(oxygen, 3.0, exchange, 10.0, demand);

    double settles = 10.0 - demand / exchange;
    double then = settles + (oxygen - settles) * Math.exp(-exchange * minutes / 60.0);
    assertThat(then).isCloseTo(3.0, within(1e-6));
  }
}
