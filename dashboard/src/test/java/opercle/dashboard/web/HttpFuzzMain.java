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
    System.out.println("before: " + size(pid));
    long begun = System.nanoTime();
    boolean fine = run(port, count, seed);
    System.out.printf(
        Locale.ROOT,
        "%d requests in %d s%n",
        count,
        TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun));
    System.out.println("after:  " + size(pid));
    if (!fine) {
      throw new AssertionError("the server was at fault");
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
        System.out.printf("%s, slowest %d ms%n", outcome.statuses(), outcome.slowest().toMillis());
        outcome.faults().forEach(System.out::println);
        fine &= outcome.faults().isEmpty();
      }
      return fine;
    } finally {
      threads.shutdownNow();
    }
  }

  private static String size(String pid) throws IOException {
    Path process = Path.of("/proc", pid);
    String resident;
    try (Stream<String> lines = Files.lines(process.resolve("status"))) {
      resident = String.join(", ", lines.filter(l -> l.matches("(VmRSS|Threads):.*")).toList());
    }
    try (Stream<Path> open = Files.list(process.resolve("fd"))) {
      return resident.replaceAll("\\s+", " ") + ", " + open.count() + " open files";
    }
  }
}
