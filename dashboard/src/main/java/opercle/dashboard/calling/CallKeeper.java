// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Function;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.BookException;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Calling;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.News;
import opercle.dashboard.calling.CallBook.Entry;
import opercle.dashboard.calling.CallBook.What;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps in the farm book what calling did, but waits for it for a few seconds only: a disk that
 * hangs must keep nobody from being called. What the book did not take is offered again with what
 * comes next.
 *
 * <p>For one thread. A thread of its own, {@code calling-book}, waits for the disk.
 */
final class CallKeeper implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(CallKeeper.class);

  /** A healthy disk answers in a tenth of a second. */
  static final Duration PATIENCE = Duration.ofSeconds(5);

  static final String OUR_FAULT = "a fault of Opercle's own; see its log";

  /** Of each kind, what is more is not kept, the oldest first: it is of a book lost for days. */
  static final int MOST_OWED = 10_000;

  /** A second in which nothing happened is not worth a write. */
  static boolean isWorthKeeping(CallingState before, Calling.Step step, List<News> batch) {
    CallingState after = step.state();
    return batch.stream()
            .anyMatch(n -> !(n instanceof News.Standing) && !(n instanceof News.Troubles))
        || !step.toSend().isEmpty()
        || !step.made().isEmpty()
        || !before.alarms().keySet().equals(after.alarms().keySet())
        || !before.monitor().equals(after.monitor())
        || !before.waiting().equals(after.waiting())
        || !before.waitingTroubles().equals(after.waitingTroubles())
        || !before.nextTest().equals(after.nextTest());
  }

  /**
   * What followed from a turn.
   *
   * @param state to go on from after a restart
   * @param made calls made, with their subjects
   * @param entries what became of calls
   * @param acknowledged alarms that somebody has from now on
   */
  record Kept(
      CallingState state,
      Map<Call, String> made,
      List<Entry> entries,
      List<AlarmEvent> acknowledged) {

    /**
     * What is to be kept of a turn.
     *
     * @param subject a call in one line
     */
    static Kept of(
        Calling.Step step, List<News> news, Instant now, Function<Call, String> subject) {
      Map<Call, String> made = new LinkedHashMap<>();
      List<Entry> entries = new ArrayList<>();
      List<AlarmEvent> acknowledged = new ArrayList<>();
      for (News item : news) {
        if (item instanceof News.Result result) {
          entries.add(entry(result, now));
        } else if (item instanceof News.Happened happened
            && happened.event().event() == AlarmEvent.Kind.ACKNOWLEDGED) {
          acknowledged.add(happened.event());
        }
      }
      for (Call call : step.made()) {
        made.put(call, subject.apply(call));
        entries.add(new Entry(call.key(), now, What.QUEUED, Optional.empty()));
      }
      for (Call call : step.toSend()) {
        entries.add(new Entry(call.key(), now, What.SENT, Optional.empty()));
      }
      return new Kept(step.state(), made, entries, acknowledged);
    }

    private static Entry entry(News.Result result, Instant now) {
      if (result.delivery() instanceof Delivery.Failed failed) {
        return new Entry(result.key(), now, What.FAILED, Optional.of(failed.reason()));
      }
      Delivery.Accepted accepted = (Delivery.Accepted) result.delivery();
      return new Entry(result.key(), now, What.ACCEPTED, Optional.of(accepted.words()));
    }

    /** Both together, with the later state. */
    Kept then(Kept later) {
      Map<Call, String> allMade = new LinkedHashMap<>(made);
      allMade.putAll(later.made);
      List<Entry> allEntries = new ArrayList<>(entries);
      allEntries.addAll(later.entries);
      List<AlarmEvent> all = new ArrayList<>(acknowledged);
      all.addAll(later.acknowledged);
      Set<Call> newest = new LinkedHashSet<>(newest(List.copyOf(allMade.keySet())));
      allMade.keySet().retainAll(newest);
      return new Kept(later.state, allMade, newest(allEntries), newest(all));
    }

    private static <T> List<T> newest(List<T> all) {
      return List.copyOf(all.subList(Math.max(0, all.size() - MOST_OWED), all.size()));
    }
  }

  private final CallBook book;
  private final Duration patience;
  private final ExecutorService thread =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread made = new Thread(task, "calling-book");
            made.setDaemon(true);
            return made;
          });
  private @Nullable Kept offered;
  private @Nullable Future<Optional<String>> answer;
  private @Nullable Kept owed;

  CallKeeper(CallBook book) {
    this(book, PATIENCE);
  }

  CallKeeper(CallBook book, Duration patience) {
    this.book = book;
    this.patience = patience;
  }

  /** Whether the book has not taken everything. */
  boolean owes() {
    return answer != null || owed != null;
  }

  /**
   * Keeps it, with all that was not kept before.
   *
   * @return why the book has not taken it; empty if it is on the disk
   */
  Optional<String> keep(Kept what) {
    owed = owed == null ? what : owed.then(what);
    if (answer != null && !answer.isDone()) {
      return notAnswered();
    }
    if (answer != null && heard(answer).isPresent()) {
      owed = offered == null ? owed : offered.then(owed);
    }
    Kept all = owed;
    offered = all;
    owed = null;
    Future<Optional<String>> asked = thread.submit(() -> write(all));
    answer = asked;
    try {
      Optional<String> why = asked.get(patience.toMillis(), TimeUnit.MILLISECONDS);
      answer = null;
      owed = why.isPresent() ? all : null;
      return why;
    } catch (TimeoutException e) {
      return notAnswered();
    } catch (ExecutionException e) {
      answer = null; // a fault of ours: the same again would do the same. People are called
      log.error("what people were told could not be kept", e.getCause());
      return Optional.of(OUR_FAULT);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return notAnswered();
    }
  }

  private Optional<String> write(Kept what) {
    try {
      book.keep(what.state(), what.made(), what.entries(), what.acknowledged());
      return Optional.empty();
    } catch (BookException e) {
      return Optional.of(String.valueOf(e.getMessage()));
    }
  }

  private static Optional<String> heard(Future<Optional<String>> done) {
    try {
      return done.get();
    } catch (ExecutionException e) {
      return Optional.empty(); // a fault of ours: not again
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return Optional.of("asked to end");
    }
  }

  private Optional<String> notAnswered() {
    return Optional.of(
        "the farm book has not answered for %d s".formatted(Math.max(1, patience.toSeconds())));
  }

  /** Takes nothing more; what is on its way is waited for a little. */
  @Override
  public void close() {
    thread.shutdown();
    try {
      if (!thread.awaitTermination(patience.toMillis(), TimeUnit.MILLISECONDS)) {
        log.warn("the farm book did not take what people were told last");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
