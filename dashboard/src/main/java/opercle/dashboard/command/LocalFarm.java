// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import opercle.analysis.evening.EveningView.Trouble;
import opercle.analysis.evening.Morning;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKind;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.dashboard.monitor.HubWords;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import opercle.dashboard.web.NotTaken;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.Rejections;

/**
 * The farm as watched in this process.
 *
 * @param clock the watch's clock
 * @param watch the watch
 * @param subscriber the front door
 * @param selfWatch what looks at the monitor itself
 * @param who would be called tonight
 * @param whoIsCalled troubles of the monitor that people are called for
 * @param morning when somebody looks again, and in which time zone
 * @param dataFolder whose disk is looked at
 * @param spool before an InfluxDB, where there is one
 */
record LocalFarm(
    InstantSource clock,
    WatchService watch,
    SensorSubscriber subscriber,
    SelfWatch selfWatch,
    Supplier<Reach> who,
    Supplier<List<MonitorState.Called>> whoIsCalled,
    Morning morning,
    Path dataFolder,
    Supplier<Optional<MonitorState.Spool>> spool)
    implements LiveFarm {

  /** What is told at once, in words of the moment, before it has lasted. */
  private static final Set<TroubleKind> TOLD_AT_ONCE =
      EnumSet.of(TroubleKind.BROKER_LOST, TroubleKind.STORE_UNWRITABLE, TroubleKind.NEWS_HELD_UP);

  @Override
  public Farm farm() {
    return watch.farm();
  }

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
    return troublesToMend().stream().map(Trouble::words).toList();
  }

  @Override
  public List<Trouble> troublesToMend() {
    List<Trouble> troubles = new ArrayList<>();
    subscriber
        .linkState()
        .trouble()
        .ifPresent(
            t ->
                add(
                    troubles,
                    TroubleKind.BROKER_LOST,
                    "No readings arrive: " + HubWords.of(t) + "."));
    subscriber
        .trouble()
        .ifPresent(
            t ->
                add(
                    troubles,
                    TroubleKind.STORE_UNWRITABLE,
                    "Readings wait at the hub that probes send to: " + t + "."));
    watch.troubles().forEach(t -> add(troubles, TroubleKind.NEWS_HELD_UP, capital(t) + "."));
    boolean storeTold = subscriber.trouble().isPresent();
    for (MonitorTrouble standing : selfWatch.standing()) {
      TroubleKind kind = standing.key().kind();
      boolean told = kind == TroubleKind.STORE_UNWRITABLE ? storeTold : TOLD_AT_ONCE.contains(kind);
      if (!told) {
        troubles.add(new Trouble(standing.words(), standing.action()));
      }
    }
    return troubles;
  }

  private static void add(List<Trouble> troubles, TroubleKind kind, String words) {
    troubles.add(new Trouble(words, kind.action()));
  }

  @Override
  public MonitorState monitor() {
    return new MonitorState(
        Optional.of(
            new MonitorState.Intake(
                subscriber.messages(),
                subscriber.readings(),
                subscriber.dropped(),
                subscriber.behind())),
        Optional.of(MonitorState.Part.of(subscriber.linkState().trouble().map(HubWords::of))),
        Optional.of(MonitorState.Part.of(subscriber.trouble())),
        disk(),
        spool.get());
  }

  private Optional<MonitorState.Disk> disk() {
    try {
      FileStore store = Files.getFileStore(dataFolder);
      return Optional.of(new MonitorState.Disk(store.getUsableSpace(), store.getTotalSpace()));
    } catch (IOException e) {
      return Optional.empty(); // the self-watch says what is wrong with the disk
    }
  }

  @Override
  public Reach reach() {
    return who.get();
  }

  @Override
  public List<MonitorState.Called> called() {
    return whoIsCalled.get();
  }
}
