// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.gas.Manifold.Outlet;
import opercle.analysis.gas.Manifold.Share;
import org.junit.jupiter.api.Test;

class ManifoldTest {

  private static final Blower BLOWER = new Blower(150.0, 25.0);
  private static final Outlet OUTLET = new Outlet(0.8, 4.0, 30.0);

  @Test
  void share_ofLikeOutlets_isEven() {
    Share share = new Manifold(List.of(OUTLET, OUTLET, OUTLET)).share(BLOWER);

    assertThat(share.flowsLPerMin()).hasSize(3);
    assertThat(share.flowsLPerMin().get(0)).isEqualTo(share.flowsLPerMin().get(2));
  }

  @Test
  void share_shallowerTank_getsMore() {
    Share share = new Manifold(List.of(OUTLET, new Outlet(0.4, 4.0, 30.0))).share(BLOWER);

    assertThat(share.flowsLPerMin().get(1)).isGreaterThan(share.flowsLPerMin().get(0));
  }

  /** A hose that came off in a shallow place takes the pressure away from every tank. */
  @Test
  void share_oneHoseOff_starvesTheOthers() {
    Outlet off = new Outlet(0.0, 0.5, 60.0);

    Share whole = new Manifold(List.of(OUTLET, OUTLET, OUTLET)).share(BLOWER);
    Share split = new Manifold(List.of(OUTLET, OUTLET, off)).share(BLOWER);

    assertThat(whole.flowsLPerMin().get(0)).isGreaterThan(25.0);
    assertThat(split.flowsLPerMin().get(0)).isZero();
    assertThat(split.flowsLPerMin().get(2)).isGreaterThan(100.0);
  }

  @Test
  void share_tankDeeperThanTheBlowerReaches_getsNothing() {
    Share share = new Manifold(List.of(new Outlet(3.0, 4.0, 30.0))).share(BLOWER);

    assertThat(share.flowsLPerMin()).containsExactly(0.0);
    assertThat(share.gaugeKPa()).isCloseTo(25.0, within(1e-6));
  }

  /** No air is made or lost on the way. */
  @Property
  void share_anyTwoTanks_sumsToWhatTheBlowerGives(
      @ForAll @DoubleRange(min = 0.0, max = 2.0) double depth1,
      @ForAll @DoubleRange(min = 0.0, max = 2.0) double depth2,
      @ForAll @DoubleRange(min = 0.5, max = 20.0) double diffuser,
      @ForAll @DoubleRange(min = 1.0, max = 200.0) double rated) {
    Share share =
        new Manifold(
                List.of(new Outlet(depth1, diffuser, rated), new Outlet(depth2, diffuser, rated)))
            .share(BLOWER);
    double taken = share.flowsLPerMin().stream().mapToDouble(Double::doubleValue).sum();

    assertThat(taken).isCloseTo(BLOWER.flowLPerMin(share.gaugeKPa()), within(1e-3));
  }

  @Test
  void outlet_withoutPressure_isRefusedByName() {
    assertThatThrownBy(() -> new Outlet(0.8, 0.0, 30.0))
        .hasMessage("manifold outlet: pressure over the diffuser 0 kPa is outside 0.01–100 kPa");
  }

  @Test
  void blower_withoutAir_isRefusedByName() {
    assertThatThrownBy(() -> new Blower(0.0, 25.0))
        .hasMessage("blower: free flow 0 L/min is outside 0.1–100000 L/min");
  }
}
