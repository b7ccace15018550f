// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TankState;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.MonitorState;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.slf4j.spi.LoggingEventBuilder;

/**
 * One line of the log a minute with what matters, as words with a value each: what came in, how far
 * behind, which alarms stand. For whoever looks afterwards, and for programs that read logs.
 */
final class MinuteLine implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger("minute");
  private static final long BYTES_A_MB = 1_000_000;

  private final LiveFarm live;
  private final ScheduledExecutorService ticker =
      Executors.newSingleThreadScheduledExecutor(
          task -> {
            Thread thread = new Thread(task, "minute-line");
            thread.setDaemon(true);
            return thread;
          });
  private Counts before;

  private MinuteLine(LiveFarm live) {
    this.live = live;
    this.before = Counts.of(live);
  }

  static MinuteLine start(LiveFarm live) {
    MinuteLine line = new MinuteLine(live);
    var unused = line.ticker.scheduleAtFixedRate(line::say, 1, 1, TimeUnit.MINUTES);
    return line;
  }

  private void say() {
    try {
      Counts now = Counts.of(live);
      say(words(live, before, now));
      before = now;
    } catch (RuntimeException e) { // the next minute is to have its line
      LOG.warn("no line for this minute", e);
    }
  }

  /** As it reads, and for programs each word with its value. */
  static void say(String words) {
    LoggingEventBuilder line = LOG.atInfo();
    for (String word : words.split(" ", -1)) {
      int is = word.indexOf('=');
      line = line.addKeyValue(word.substring(0, is), word.substring(is + 1));
    }
    line.log("{}", words);
  }

  /** What has come since the start. */
  record Counts(long messages, long readings, long dropped, long notTaken) {

    static Counts of(LiveFarm live) {
      Optional<MonitorState.Intake> intake = live.monitor().intake();
      return new Counts(
          intake.map(MonitorState.Intake::messages).orElse(0L),
          intake.map(MonitorState.Intake::readings).orElse(0L),
          intake.map(MonitorState.Intake::dropped).orElse(0L),
          live.notTaken().counts().values().stream().mapToLong(Long::longValue).sum());
    }
  }

  /** The line; what is not there has no word. */
  static String words(LiveFarm live, Counts before, Counts now) {
    MonitorState monitor = live.monitor();
    StringBuilder line = new StringBuilder();
    add(line, "messages", now.messages - before.messages);
    add(line, "readings", now.readings - before.readings);
    add(line, "notTaken", now.notTaken - before.notTaken);
    add(line, "dropped", now.dropped - before.dropped);
    monitor.intake().ifPresent(i -> add(line, "behindMs", i.behind().toMillis()));
    monitor.broker().ifPresent(p -> add(line, "broker", word(p)));
    monitor.store().ifPresent(p -> add(line, "store", word(p)));
    monitor
        .spool()
        .ifPresent(
            s -> {
              add(line, "influxdb", s.influxTakes() ? "well" : "away");
              add(line, "spoolWaitsS", s.waiting().toSeconds());
              add(line, "spoolMB", s.bytes() / BYTES_A_MB);
            });
    add(line, "tanks", live.states().size());
    Instant clock = live.now();
    live.states().stream()
        .flatMap(state -> state.newestReading().stream())
        .min(Instant::compareTo)
        .ifPresent(
            oldest -> add(line, "longestUnheardS", Duration.between(oldest, clock).toSeconds()));
    for (Priority priority : Priority.values()) {
      add(line, "alarms" + capital(priority), standing(live, priority));
    }
    add(line, "troubles", live.troublesToMend().size());
    monitor.disk().ifPresent(d -> add(line, "diskFreeMB", d.freeBytes() / BYTES_A_MB));
    Runtime runtime = Runtime.getRuntime();
    add(line, "heapMB", (runtime.totalMemory() - runtime.freeMemory()) / BYTES_A_MB);
    return line.toString().strip();
  }

  private static long standing(LiveFarm live, Priority priority) {
    return live.states().stream()
        .map(TankState::alarms)
        .flatMap(alarms -> alarms.stream().map(Alarm::priority))
        .filter(priority::equals)
        .count();
  }

  private static String capital(Priority priority) {
    String name = priority.name();
    return name.charAt(0) + name.substring(1).toLowerCase(Locale.ROOT);
  }

  private static String word(MonitorState.Part part) {
    return part.well() ? "well" : "ill";
  }

  private static void add(StringBuilder line, String name, Object value) {
    line.append(' ').append(name).append('=').append(value);
  }

  @Override
  public void close() {
    ticker.shutdownNow();
  }
}
