// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.time.Instant;
import java.util.Optional;
import opercle.analysis.watch.Belief;
import opercle.analysis.watch.TankChecks.Trust;
import org.junit.jupiter.api.Test;

class BeliefFormTest {

  private static final String TIME = "2026-03-14T02:11:07.000Z";

  private static Belief read(String json) throws Exception {
    return BeliefForm.read(new ObjectMapper().readTree(json.replace('\'', '"')));
  }

  /** A probe or meter of which nobody knows when it spoke says nothing; the others stay. */
  @Test
  void unreadableTime_leavesOutWhatItIsOf_andNothingElse() throws Exception {
    Belief belief =
        read(
            """
            {'probes':[
               {'probe':'1','trust':'trusted','time':'yesterday'},
               {'probe':'2','trust':'trusted','time':7},
               {'probe':'3','trust':'trusted','time':'%s','doubtedAt':'24:61'}],
             'meters':[
               {'measures':'flow','probe':'1','value':2.5,'usual':2.5,'says':'flowing','time':'14 March'},
               {'measures':'pressure','probe':'2','value':1.2,'usual':0,'says':'flowing','time':'%s','since':''}]}
            """
                .formatted(TIME, TIME));

    assertThat(belief.probes())
        .containsExactly(
            new Belief.OfProbe(
                "3", Trust.TRUSTED, Optional.empty(), Instant.parse(TIME), Optional.empty()));
    assertThat(belief.meters())
        .singleElement()
        .satisfies(m -> assertThat(m.at()).isEqualTo(Instant.parse(TIME)))
        .satisfies(m -> assertThat(m.since()).isEmpty());
  }
}
