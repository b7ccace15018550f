// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.ingest.store.GivenUp;
import opercle.ingest.store.SpooledReadings.State;
import org.junit.jupiter.api.Test;

class DatabaseLegTest {

  private static final Instant TWO = Instant.parse("2026-03-14T02:00:41Z");
  private static final State WELL =
      new State(Optional.empty(), Optional.empty(), Optional.empty(), List.of());

  private State state = WELL;
  private final DatabaseLeg leg = new DatabaseLeg(() -> state, Runnable::run);

  /** What is found stands at the next look. */
  private Map<TroubleKey, String> look() {
    leg.look(0);
    return leg.look(1);
  }

  @Test
  void allIsWell_saysNothing() {
    assertThat(look()).isEmpty();
  }

  @Test
  void influxAway_saysSinceWhenAndWhy() {
    state =
        new State(
            Optional.of("nothing answers there"), Optional.of(TWO), Optional.of(TWO), List.of());

    assertThat(look())
        .containsExactly(
            Map.entry(
                TroubleKey.of(TroubleKind.DATABASE_AWAY),
                "The database of readings takes none since 14 Mar 2026 02:00 UTC: nothing answers there."
                    + " They wait on this machine's disk; what is only in the database cannot be"
                    + " shown."));
  }

  @Test
  void thinned_isSaidForAsLongAsItWaits_andAnEarlierOutagesIsNot() {
    GivenUp thinned = new GivenUp(GivenUp.What.THINNED, 1234, TWO, TWO.plusSeconds(3600));
    GivenUp refused = new GivenUp(GivenUp.What.REFUSED, 7, TWO, TWO.plusSeconds(9999));
    state =
        new State(Optional.empty(), Optional.empty(), Optional.of(TWO), List.of(thinned, refused));

    assertThat(look())
        .containsExactly(
            Map.entry(
                TroubleKey.of(TroubleKind.READINGS_THINNED),
                "The room for readings that wait for the database is full: from 14 Mar 2026 02:00 UTC"
                    + " on only the lowest and the highest of each minute are kept; 1,000 readings"
                    + " or more are gone."));

    state =
        new State(
            Optional.empty(),
            Optional.empty(),
            Optional.of(TWO.plusSeconds(7200)),
            List.of(thinned, refused));
    assertThat(look()).isEmpty();
  }
}
