// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import opercle.analysis.memory.WatchMemory;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * What a tank costs: heap of the watch after garbage collection, bytes on disk, and the time that
 * it takes to copy, save and load all. Two thousand tanks unless told otherwise, an hour of oxygen,
 * temperature and gas flow every two seconds, and then every gas line stops.
 *
 * <p>{@code mvn -q -pl analysis -am -DskipTests -Pbenchmark
 * -Dbenchmark.main=opercle.analysis.watch.FootprintMain -Dbenchmark=2000 test}
 */
public final class FootprintMain {

  private static final int SECONDS = 3600;
  private static final int EVERY = 2;

  private FootprintMain() {}

  /** Takes the number of tanks. */
  public static void main(String[] arguments) throws IOException {
    int tanks = arguments.length == 0 ? 2_000 : Integer.parseInt(arguments[0]);
    var farm = LargeFarm.of(tanks);
    String[] ids = LargeFarm.ids(tanks);
    long before = usedHeap();
    FarmWatch watch = new FarmWatch(farm);
    Random random = new Random(1);
    for (int s = 0; s < SECONDS; s += EVERY) {
      feed(watch, ids, random, SallowmereTanks.at(s), s < SECONDS - 60 ? 45.0 : 0.0);
    }
    say("standing alarms", watch.standing().size(), "");
    say("heap of the watch", (usedHeap() - before) / 1000.0 / tanks, "kB a tank");
    Path folder = Files.createTempDirectory("opercle-footprint");
    WatchMemory memory = WatchMemory.in(folder);
    Path learned = folder.resolve("watch-learned.json");
    Path alarms = folder.resolve("watch-alarms.json");
    double[] copy = new double[9];
    double[] save = new double[9];
    double[] load = new double[9];
    double[] atAlarm = new double[99];
    for (int i = 0; i < copy.length; i++) {
      long start = System.nanoTime();
      FarmWatch.Snapshot snapshot = watch.snapshot();
      copy[i] = millisSince(start);
      start = System.nanoTime();
      memory.saveLearned(Instant.EPOCH, snapshot);
      save[i] = millisSince(start);
      start = System.nanoTime();
      FarmWatch read = FarmWatch.restore(farm, memory.learned().orElseThrow().what());
      load[i] = millisSince(start);
      if (!read.snapshot().equals(snapshot)) {
        throw new IllegalStateException("what was read is not what was saved");
      }
    }
    for (int i = 0; i < atAlarm.length; i++) {
      long start = System.nanoTime();
      memory.saveAlarms(Instant.EPOCH, i, new WatchMemory.Alarms(watch.alarms(), List.of()));
      atAlarm[i] = millisSince(start);
    }
    say("learning on disk", Files.size(learned) / 1000.0 / tanks, "kB a tank");
    say("alarms on disk", Files.size(alarms) / 1000.0 / tanks, "kB a tank, each with an alarm");
    say("to copy all under the watch's lock", median(copy), "ms, median");
    say("to save all, without the lock", median(save), "ms, median");
    say("to load and restore all", median(load), "ms, median");
    say("to save all alarms before they are told", median(atAlarm), "ms, median");
    say("the same", percentile(atAlarm, 0.99), "ms, 99th percentile");
    Files.delete(learned);
    Files.delete(alarms);
    Files.delete(folder);
  }

  private static void feed(
      FarmWatch watch, String[] ids, Random random, Instant time, double flow) {
    var unused = watch.tick(time);
    for (String id : ids) {
      double oxygen = 9.0 + Math.round(3.0 * random.nextGaussian()) / 100.0;
      unused = watch.accept(new Reading(id, Quantity.OXYGEN, "1", time, oxygen));
      unused = watch.accept(new Reading(id, Quantity.TEMPERATURE, "1", time, 12.0));
      unused = watch.accept(new Reading(id, Quantity.GAS_FLOW, "1", time, flow));
    }
  }

  private static long usedHeap() {
    for (int i = 0; i < 5; i++) {
      System.gc();
    }
    return Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory();
  }

  private static double millisSince(long start) {
    return (System.nanoTime() - start) / 1e6;
  }

  private static double median(double[] values) {
    return percentile(values, 0.5);
  }

  private static double percentile(double[] values, double share) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[(int) Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  }

  private static void say(String what, double value, String unit) {
    System.out.println(String.format(Locale.ROOT, "%-42s %10.2f %s", what, value, unit));
  }
}
