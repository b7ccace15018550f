// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.TankAct;
import opercle.analysis.watch.TankState;
import opercle.dashboard.command.MinuteLine.Counts;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.reading.Rejection;
import org.junit.jupiter.api.Test;

class MinuteLineTest {

  /** No tanks yet; everything else at work. */
  private static final class Live implements LiveFarm {
    @Override
    public Farm farm() {
      return new Farm("Sallowmere", 40, List.of());
    }

    @Override
    public Instant now() {
      return Instant.parse("2026-03-14T02:11:07Z");
    }

    @Override
    public List<TankState> states() {
      return List.of();
    }

    @Override
    public void perform(TankAct act) {
      throw new UnsupportedOperationException();
    }

    @Override
    public NotTaken notTaken() {
      return new NotTaken(Map.of(Rejection.Reason.UNKNOWN_TANK, 12L), List.of());
    }

    @Override
    public List<String> troubles() {
      return List.of();
    }

    @Override
    public MonitorState monitor() {
      return new MonitorState(
          Optional.of(new MonitorState.Intake(700, 2100, 3, Duration.ofMillis(25))),
          Optional.of(MonitorState.Part.of(Optional.empty())),
          Optional.of(MonitorState.Part.of(Optional.of("full"))),
          Optional.of(new MonitorState.Disk(2_000_000_000L, 64_000_000_000L)),
          Optional.of(new MonitorState.Spool(false, Duration.ofMinutes(12), 4_000_000L)));
    }
  }

  @Test
  void line_tellsOneMinutesWorkAndHowThingsStand() {
    LiveFarm live = new Live();
    Counts now = Counts.of(live);

    assertThat(MinuteLine.words(live, new Counts(100, 300, 1, 2), now))
        .startsWith(
            "messages=600 readings=1800 notTaken=10 dropped=2 behindMs=25 broker=well store=ill"
                + " influxdb=away spoolWaitsS=720 spoolMB=4 tanks=0 alarmsHigh=0 alarmsMedium=0"
                + " alarmsLow=0 troubles=0 diskFreeMB=2000 heapMB=")
        .doesNotContain("longestUnheard");
  }
}
