// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;

/**
 * The farm as watched in this process.
 *
 * @param farm its description
 * @param clock the watch's clock
 * @param watch the watch
 * @param subscriber the front door
 */
record LocalFarm(Farm farm, InstantSource clock, WatchService watch, SensorSubscriber subscriber)
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
  public void perform(TankAct act) {
    watch.perform(act);
  }

  @Override
  public NotTaken notTaken() {
    Rejections rejections = subscriber.rejections();
    return new NotTaken(rejections.counts(), rejections.latest());
  }

  private static String capital(String words) {
    return words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
  }

  @Override
  public List<String> troubles() {
    List<String> troubles = new ArrayList<>();
    subscriber.linkState().trouble().ifPresent(t -> troubles.add("No readings arrive: " + t + "."));
    subscriber.trouble().ifPresent(t -> troubles.add("Readings wait at the broker: " + t + "."));
    watch.troubles().forEach(t -> troubles.add(capital(t) + "."));
    return troubles;
  }
}
