// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import opercle.dashboard.web.TripEntries.Books;
import opercle.ingest.ChildJvm;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.slf4j.LoggerFactory;

/**
 * A process that trips are written down in over HTTP is killed outright, again and again, in the
 * middle of an entry of each kind. Afterwards each book opens without complaint, everything in it
 * is exactly as before an entry or exactly as after it, what was answered is there, and the same
 * forms sent again end where they would have ended.
 */
class KilledTripsTest {

  private static final int ROUNDS = 3;

  /** Answered before the kill, so that the process is warm and every kind is under way. */
  private static final int FIRST = 3;

  private static final double LONGEST_MS = 100.0;
  private static final Duration PATIENCE = Duration.ofMinutes(3);

  @TempDir Path folder;

  /** Serves a book of trips in each folder, and prints where. */
  static final class Served {
    private Served() {}

    @SuppressWarnings("resource") // it is there to be killed
    public static void main(String[] folders) {
      for (String folder : folders) {
        System.out.println("at " + TripEntries.open(Path.of(folder)).serve().url(""));
      }
    }
  }

  /** How far the entries of a kind had come: answered, and whether another was on its way. */
  private record Sent(int answered, boolean cutOff) {}

  /** A book in which every entry of a kind can be written next, and what it says. */
  private record Prepared(TripEntries kind, Path folder, List<Books> before) {}

  @Test
  void killedInTheMiddleOfAnyEntry_leavesItWholeOrAbsent() throws Exception {
    List<Prepared> all = new ArrayList<>();
    for (TripEntries kind : TripEntries.values()) {
      Path book = Files.createDirectory(folder.resolve(kind.name()));
      all.add(new Prepared(kind, book, kind.prepare(book)));
    }
    Map<TripEntries, Integer> cutOff = new EnumMap<>(TripEntries.class);
    int written = 0;
    Random moments = new Random(1); // one for all: the first number of each seed is much the same
    for (int round = 1; round <= ROUNDS; round++) {
      List<Prepared> books = copies(all, folder.resolve("round" + round));
      List<Sent> sent = sendAndKill(books, moments);
      for (int i = 0; i < books.size(); i++) {
        written += isWritten(books.get(i), sent.get(i)) ? 1 : 0;
        cutOff.merge(books.get(i).kind(), sent.get(i).cutOff() ? 1 : 0, Integer::sum);
      }
    }

    String told = "cut off by kind: %s; of them written: %d".formatted(cutOff, written);
    System.out.println(told);
    assertThat(cutOff.values()).as(told).allMatch(n -> n > 0);
    assertThat(cutOff.values().stream().mapToInt(n -> n).sum())
        .as(told)
        .isGreaterThan(ROUNDS * all.size() / 2);
  }

  private static List<Prepared> copies(List<Prepared> all, Path to) throws IOException {
    List<Prepared> copies = new ArrayList<>();
    for (Prepared one : all) {
      Path copy = Files.createDirectories(to.resolve(one.kind().name()));
      try (DirectoryStream<Path> files = Files.newDirectoryStream(one.folder())) {
        for (Path file : files) {
          Files.copy(file, copy.resolve(file.getFileName()));
        }
      }
      copies.add(new Prepared(one.kind(), copy, one.before()));
    }
    return copies;
  }

  /** Writes entries of every kind at once without a pause, and kills at a random moment. */
  private static List<Sent> sendAndKill(List<Prepared> books, Random random) throws Exception {
    ExecutorService phones = Executors.newFixedThreadPool(books.size());
    try (ChildJvm child =
        ChildJvm.start(
            Served.class, books.stream().map(b -> b.folder().toString()).toArray(String[]::new))) {
      CyclicBarrier allUnderWay = new CyclicBarrier(books.size() + 1);
      List<Future<Sent>> sending = new ArrayList<>();
      for (Prepared book : books) {
        String at = child.awaitLine(line -> line.startsWith("at "), PATIENCE).substring(3);
        sending.add(phones.submit(() -> send(book.kind(), at, allUnderWay)));
      }
      allUnderWay.await(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      long until = System.nanoTime() + (long) (random.nextDouble() * LONGEST_MS * 1.0e6);
      while (System.nanoTime() < until) {
        Thread.onSpinWait();
      }
      child.kill();
      List<Sent> sent = new ArrayList<>();
      for (Future<Sent> one : sending) {
        sent.add(one.get());
      }
      return sent;
    } finally {
      phones.shutdownNow();
    }
  }

  private static Sent send(TripEntries kind, String at, CyclicBarrier allUnderWay)
      throws Exception {
    for (int n = 0; n < TripEntries.MANY; n++) {
      if (n == FIRST) {
        allUnderWay.await(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      }
      try {
        kind.send(at, n);
      } catch (IOException e) {
        return new Sent(n, true);
      }
    }
    return new Sent(TripEntries.MANY, false);
  }

  /** Whether the entry that was cut off is there; fails where the book is not as it may be. */
  private static boolean isWritten(Prepared book, Sent sent) throws Exception {
    TripEntries kind = book.kind();
    List<Books> before = book.before();
    List<Books> found;
    List<Books> ended;
    ListAppender<ILoggingEvent> complaints = new ListAppender<>();
    Logger logger = (Logger) LoggerFactory.getLogger("opercle");
    complaints.start();
    logger.addAppender(complaints);
    try (ServedTrips again = TripEntries.open(book.folder())) {
      found = TripEntries.read(again);
      String root = again.serve().url("");
      for (int n = 0; n < TripEntries.MANY; n++) {
        kind.send(root, n);
      }
      ended = TripEntries.read(again);
    } finally {
      logger.detachAppender(complaints);
    }

    assertThat(complaints.list)
        .filteredOn(e -> e.getLevel().isGreaterOrEqual(Level.WARN))
        .isEmpty();
    for (int n = 0; n < TripEntries.MANY; n++) {
      String which = "%s %d of which %s".formatted(kind, n, sent);
      assertThat(ended.get(n)).as(which).isNotEqualTo(before.get(n));
      TripEntries.requireAllFish(kind, n, ended.get(n));
      if (n < sent.answered()) {
        assertThat(found.get(n)).as("answered: %s", which).isEqualTo(ended.get(n));
      } else if (n > sent.answered()) {
        assertThat(found.get(n)).as("never sent: %s", which).isEqualTo(before.get(n));
      } else {
        assertThat(found.get(n)).as("cut off: %s", which).isIn(before.get(n), ended.get(n));
      }
    }
    return sent.cutOff() && found.get(sent.answered()).equals(ended.get(sent.answered()));
  }
}
