// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadInfo;
import java.lang.management.ThreadMXBean;
import java.time.Duration;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.stream.Collectors;
import opercle.ingest.reading.ReadingSink;
import org.jspecify.annotations.Nullable;

/**
 * What of the processor's time went where between two moments: in sinks, threads and child
 * processes. A busy machine stretches it far less than time by the clock. For one thread, but for
 * the sinks.
 */
final class ProcessorTime {

  private static final ThreadMXBean THREADS = ManagementFactory.getThreadMXBean();
  private static final int MOST_SHOWN = 8;

  private final Map<String, Long> sinks = new LinkedHashMap<>();
  private final Map<String, Long> before = new HashMap<>();

  /** The same sink, whose time is shown by that name. */
  ReadingSink timed(String name, ReadingSink sink) {
    return batch -> {
      long start = THREADS.getCurrentThreadCpuTime();
      sink.accept(batch);
      long taken = THREADS.getCurrentThreadCpuTime() - start;
      synchronized (sinks) {
        sinks.merge(name, taken, Long::sum);
      }
    };
  }

  /** From here on it counts. */
  void start() {
    synchronized (sinks) {
      sinks.clear();
    }
    before.clear();
    before.putAll(nanosSoFar());
  }

  /** What was used since the start, the most first, µs a reading; sinks are within their thread. */
  String perReading(long readings) {
    Map<String, Long> used = nanosSoFar();
    used.replaceAll((name, nanos) -> nanos - before.getOrDefault(name, 0L));
    String most =
        used.entrySet().stream()
            .sorted(Map.Entry.comparingByValue(Comparator.reverseOrder()))
            .limit(MOST_SHOWN)
            .map(e -> shown(e, readings))
            .collect(Collectors.joining(", "));
    synchronized (sinks) {
      return sinks.entrySet().stream()
          .map(e -> shown(e, readings))
          .collect(Collectors.joining(", ", most + "; of it ", ""));
    }
  }

  private static String shown(Map.Entry<String, Long> used, long readings) {
    return "%s %.2f".formatted(used.getKey(), used.getValue() / 1e3 / readings);
  }

  /** By kind of thread; what no living thread of Java used is the collector's and compiler's. */
  private static Map<String, Long> nanosSoFar() {
    Map<String, Long> nanos = new HashMap<>();
    long all = ProcessHandle.current().info().totalCpuDuration().orElse(Duration.ZERO).toNanos();
    for (long id : THREADS.getAllThreadIds()) {
      @Nullable ThreadInfo thread = THREADS.getThreadInfo(id);
      long used = THREADS.getThreadCpuTime(id);
      if (thread != null && used > 0) {
        nanos.merge(kind(thread.getThreadName()), used, Long::sum);
        all -= used;
      }
    }
    nanos.put("collector, compiler and ended threads", all);
    ProcessHandle.current()
        .children()
        .forEach(
            child ->
                nanos.merge(
                    "broker",
                    child.info().totalCpuDuration().orElse(Duration.ZERO).toNanos(),
                    Long::sum));
    return nanos;
  }

  /** Client ids and numbers are cut off. */
  private static String kind(String thread) {
    return thread.replaceAll("(MQTT \\w+: [a-z]+|sensor-subscriber).*", "$1");
  }
}
