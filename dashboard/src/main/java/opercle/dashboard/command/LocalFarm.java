// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.payload.Rejections;

/**
 * The farm as watched in this process.
 *
 * @param farm its description
 * @param clock the watch's clock
 * @param watch the watch
 * @param rejections what was not taken at the front door
 */
record LocalFarm(Farm farm, InstantSource clock, WatchService watch, Rejections rejections)
    implements LiveFarm {

  @Override
  public Instant now() {
    return clock.instant();
  }

  @Override
  public List<TankState> states() {
    return watch.states();
  }

  @Override
  public void acknowledge(String tank, AlarmCause cause, String by) {
    watch.acknowledge(tank, cause, by);
  }

  @Override
  public NotTaken notTaken() {
    return new NotTaken(rejections.counts(), rejections.latest());
  }
}
