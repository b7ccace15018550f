// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import opercle.analysis.publish.StateReader;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import org.junit.jupiter.api.Test;

/** What the watch says that it makes of probes and meters, by readings. */
class BeliefTest extends WatchedHolding {

  private Belief at(int second) {
    return watch.state(TANK, SallowmereTanks.at(second)).checks().belief();
  }

  @Test
  void tankNeverHeard_isBelievedNothingOf() {
    assertThat(at(0)).isEqualTo(Belief.NOT_KNOWN);
  }

  @Test
  void steadyTank_trustsItsProbe_andSaysWhatTheMeterIsUsedTo() {
    steady(0, 900);

    assertThat(at(900).probes())
        .singleElement()
        .satisfies(
            p -> {
              assertThat(p.trust()).isEqualTo(Trust.TRUSTED);
              assertThat(p.why()).isEmpty();
              assertThat(p.doubtedAt()).isEmpty();
              assertThat(p.at()).isEqualTo(SallowmereTanks.at(895));
            });
    assertThat(at(900).meters())
        .singleElement()
        .satisfies(
            m -> {
              assertThat(m.measures()).isEqualTo(Belief.Measures.FLOW);
              assertThat(m.says()).isEqualTo(Supply.NORMAL);
              assertThat(m.value()).isEqualTo(45.0);
              assertThat(m.usual()).isEqualTo(45.0);
              assertThat(m.since()).isEmpty();
            });
  }

  @Test
  void stoppedGas_isSaidWithSinceWhen() {
    steady(0, 900);
    for (int s = 900; s < 930; s += 5) {
      temperature(s, 12.0);
      gas(s, 0.0);
      oxygen(s, 9.0);
    }

    assertThat(at(930).meters())
        .singleElement()
        .satisfies(
            m -> {
              assertThat(m.says()).isEqualTo(Supply.STOPPED);
              assertThat(m.since()).contains(SallowmereTanks.at(900));
            });
  }

  @Test
  void silentProbe_isNone_andOneThatCannotBe_isDoubtedWithItsReason()
      throws JsonProcessingException {
    steady(0, 900);
    for (int s = 900; s < 1200; s += 5) {
      temperature(s, 12.0);
      gas(s, 45.0);
      tick(s);
    }
    assertThat(at(1200).probes())
        .singleElement()
        .extracting(Belief.OfProbe::trust)
        .isEqualTo(Trust.NONE);

    for (int s = 1200; s < 1320; s += 5) {
      temperature(s, 12.0);
      gas(s, 45.0);
      oxygen(s, 0.0);
      tick(s);
    }
    assertThat(at(1320).probes())
        .singleElement()
        .satisfies(
            p -> {
              assertThat(p.trust()).isEqualTo(Trust.DOUBTED);
              assertThat(p.why()).isPresent();
              assertThat(p.doubtedAt()).isPresent();
            });
    TankState told = watch.state(TANK, SallowmereTanks.at(1320));
    assertThat(StateReader.read(WatchJson.state(told)).checks().belief())
        .as("over MQTT to the pages")
        .isEqualTo(at(1320));
  }
}
