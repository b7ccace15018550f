// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * Not a test: sends malformed requests to a running {@code serve} over four connections, and says
 * what came of them and whether the process has grown. Arguments: the port of its pages; its
 * process id; how many requests, 1,000,000 without; seed.
 */
final class HttpFuzzMain {

  private static final int CONNECTIONS = 4;

  private HttpFuzzMain() {}

  public static void main(String[] args) throws Exception {
    int port = Integer.parseInt(args[0]);
    String pid = args[1];
    long count = args.length > 2 ? Long.parseLong(args[2]) : 1_000_000L;
    long seed = args.length > 3 ? Long.parseLong(args[3]) : 1L;
    run(port, count / 20, seed - 1); // what is made once is made before the first look
    Size before = Size.of(pid);
    System.out.println("before: " + before);
    long begun = System.nanoTime();
    boolean fine = run(port, count, seed);
    System.out.printf(
        Locale.ROOT,
        "%d requests in %d s%n",
        count,
        TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun));
    Size after = Size.of(pid);
    System.out.println("after:  " + after);
    if (!fine) {
      throw new AssertionError("the server was at fault");
    }
    if (after.isFarAbove(before)) {
      throw new AssertionError("the server has grown");
    }
  }

  private static boolean run(int port, long count, long seed) throws Exception {
    ExecutorService threads = Executors.newFixedThreadPool(CONNECTIONS);
    try {
      List<Callable<HttpFuzz.Outcome>> work = new ArrayList<>();
      for (int i = 0; i < CONNECTIONS; i++) {
        long own = seed * 1_000 + i;
        work.add(
            () -> {
              try (HttpFuzz fuzz = new HttpFuzz(port, own)) {
                return fuzz.run(count / CONNECTIONS);
              }
            });
      }
      boolean fine = true;
      for (Future<HttpFuzz.Outcome> done : threads.invokeAll(work)) {
        HttpFuzz.Outcome outcome = done.get();
        System.out.printf(
            "%s, slowest %d ms: %s%n",
            outcome.statuses(), outcome.slowest().toMillis(), outcome.slowestRequest());
        outcome.faults().forEach(System.out::println);
        fine &= outcome.faults().isEmpty();
      }
      return fine;
    } finally {
      threads.shutdownNow();
    }
  }

  /** How large a process is. */
  private record Size(long residentKb, long threads, long openFiles) {

    static Size of(String pid) throws IOException {
      Path process = Path.of("/proc", pid);
      try (Stream<Path> open = Files.list(process.resolve("fd"))) {
        String status = Files.readString(process.resolve("status"));
        return new Size(number(status, "VmRSS"), number(status, "Threads"), open.count());
      }
    }

    private static long number(String status, String name) {
      return status
          .lines()
          .filter(line -> line.startsWith(name + ":"))
          .mapToLong(line -> Long.parseLong(line.replaceAll("\\D", "")))
          .sum();
    }

    /** Beyond what a heap that is filled for the first time, and a busy moment, explain. */
    boolean isFarAbove(Size before) {
      return residentKb > before.residentKb + 100_000
          || threads > before.threads + 50
          || openFiles > before.openFiles + 100;
    }

    @Override
    public String toString() {
      return "%d kB resident, %d threads, %d open files".formatted(residentKb, threads, openFiles);
    }
  }
}
