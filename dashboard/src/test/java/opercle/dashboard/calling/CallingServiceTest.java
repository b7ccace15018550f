// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.function.Function;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.CallingState;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.calling.CallBook.What;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CallingServiceTest {

  private static final Target PUSH = new Target("Maren", "push");
  private static final Target MAIL = new Target("Maren", "mail");

  @TempDir Path folder;
  private BookPlace place;

  private final List<Message> taken = new CopyOnWriteArrayList<>();
  private final CountDownLatch end = new CountDownLatch(1);
  private volatile Instant now = Made.NIGHT;
  private volatile Function<Message, Delivery> push = this::take;
  private FarmBook farmBook;
  private CallBook book;
  private CallingService service;

  BookPlace place() {
    return BookPlace.in(folder);
  }

  @BeforeEach
  void start() {
    place = place();
    farmBook = FarmBook.open(place);
    book = new CallBook(farmBook, "Sallowmere");
    service = started(Optional.empty());
  }

  private CallingService started(Optional<HaveLinks> links) {
    return CallingService.start(
        Made.farm(),
        new CallingPlan(
            List.of(new Person("Maren", List.of("push", "mail"), Optional.empty())),
            ZoneOffset.UTC,
            CallingPlan.USUAL_NIGHT,
            CallingPlan.USUAL_MORNING,
            CallingPlan.USUAL_PATIENCE,
            Optional.empty()),
        Map.of(PUSH, message -> push.apply(message), MAIL, this::take),
        links,
        book,
        () -> now);
  }

  @AfterEach
  void stop() {
    end.countDown();
    service.close();
    farmBook.close();
  }

  private Delivery take(Message message) {
    taken.add(message);
    return new Delivery.Accepted("taken");
  }

  private List<What> whats() {
    return book.newest(10).stream()
        .flatMap(c -> c.entries().stream().map(CallBook.Entry::what))
        .toList();
  }

  @Test
  void alarm_isTold_andKeptAsQueuedSentAccepted_thenAcknowledged() {
    AlarmEvent raised = Made.alarm(Made.NIGHT, 30);
    service.events(List.of(raised));
    await().until(() -> whats().equals(List.of(What.QUEUED, What.SENT, What.ACCEPTED)));
    await().until(() -> service.pending().isEmpty());

    service.events(
        List.of(
            new AlarmEvent(
                now.plusSeconds(5),
                raised.tank(),
                raised.cause(),
                AlarmEvent.Kind.ACKNOWLEDGED,
                raised.priority(),
                AlarmState.ACKNOWLEDGED,
                raised.timeInHandMinutes(),
                raised.oxygenMgPerL(),
                raised.message(),
                raised.since(),
                false,
                Optional.of("Maren"),
                Optional.empty(),
                Optional.empty(),
                List.of())));
    await().until(() -> whats().contains(What.ACKNOWLEDGED));
    now = now.plus(Duration.ofHours(1));
    service.states(List.of());

    assertThat(book.newest(10)).hasSize(1);
    assertThat(taken).hasSize(1);
    assertThat(book.deliveries(Made.NIGHT, Made.NIGHT.plusSeconds(1)).tried()).isEqualTo(1);
  }

  @Test
  void channelThatFails_isRoutedRound_andSaidOnThePage() {
    push = message -> Delivery.refused("the device is gone");
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));

    await().until(() -> taken.size() == 1);
    assertThat(taken.get(0).call().channel()).isEqualTo("mail");
    await()
        .untilAsserted(
            () ->
                assertThat(service.trouble())
                    .contains("Maren cannot be reached by notice: the device is gone"));
    assertThat(whats()).contains(What.FAILED);
  }

  @Test
  void channelThatThrows_isRoutedRound() {
    push =
        message -> {
          throw new IllegalStateException("a fault");
        };
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));

    await().until(() -> taken.size() == 1);
    assertThat(service.trouble().orElse("")).contains("see its log").doesNotContain("Exception");
  }

  @Test
  void killedWhileSending_sendsAgainUnderTheSameKey() {
    List<String> keys = new CopyOnWriteArrayList<>();
    push =
        message -> {
          keys.add(message.call().key());
          try {
            end.await();
          } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
          }
          return Delivery.failed("killed");
        };
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));
    await().until(() -> keys.size() == 1);
    service.close(); // nothing of what comes back is heard

    push =
        message -> {
          keys.add(message.call().key());
          return take(message);
        };
    service = started(Optional.empty());

    await().until(() -> keys.size() == 2);
    assertThat(keys.get(1)).isEqualTo(keys.get(0));
    await().until(() -> whats().contains(What.ACCEPTED));
    assertThat(book.newest(10)).hasSize(1);
  }

  @Test
  void testCall_isNotedForEveryChannel() {
    service.test("Maren", "Tomas", Optional.empty());

    await().until(() -> isTested(PUSH) && isTested(MAIL));
    assertThat(taken).allMatch(m -> m.call().kind() == Call.Kind.TEST);
  }

  @Test
  void testOfAllWays_isToldOnce_toWhoeverListens() {
    List<Call> heard = new CopyOnWriteArrayList<>();
    service.onTest(heard::add);

    service.test("Maren", "Tomas", Optional.empty());

    await().until(() -> isTested(PUSH) && isTested(MAIL));
    assertThat(heard).singleElement().satisfies(c -> assertThat(c.by()).contains("Tomas"));
  }

  private boolean isTested(Target target) {
    return Optional.ofNullable(service.state().channels().get(target.id()))
        .flatMap(CallingState.Health::tested)
        .isPresent();
  }

  @Test
  void bookThatFails_keepsNobodyFromBeingCalled_andIsSaid() {
    farmBook.close();
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));

    await().until(() -> taken.size() == 1);
    assertThat(service.trouble().orElse("")).contains("a restart would forget whom");
  }

  @Test
  void faultInKeeping_keepsNobodyFromBeingCalled_andIsSaidWithoutAClassName() {
    now = Instant.parse("+300000-01-01T00:00:00Z"); // later than the book can hold
    service.events(List.of(Made.alarm(now, 30)));

    await().until(() -> taken.size() == 1);
    await()
        .until(
            () -> service.trouble().orElse("").contains("a fault of Opercle's own; see its log"));
    assertThat(service.trouble().orElseThrow()).doesNotContain("Exception");
  }

  @Test
  void bookThatHangs_keepsNobodyFromBeingCalled_andIsMadeUpForLater() throws Exception {
    CountDownLatch hangs = new CountDownLatch(1);
    CountDownLatch held = new CountDownLatch(1);
    Thread holder =
        new Thread(
            () ->
                farmBook.<Object>write(
                    "hang",
                    c -> {
                      held.countDown();
                      try {
                        hangs.await();
                      } catch (InterruptedException e) {
                        Thread.currentThread().interrupt();
                      }
                      return "";
                    }));
    holder.start();
    held.await();
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));

    await().atMost(Duration.ofSeconds(20)).until(() -> taken.size() == 1);
    assertThat(service.trouble().orElse("")).contains("has not answered for 5 s");
    long turns = service.turns();
    await().atMost(Duration.ofSeconds(20)).until(() -> service.turns() > turns + 2);

    hangs.countDown();
    await()
        .atMost(Duration.ofSeconds(20))
        .until(() -> whats().equals(List.of(What.QUEUED, What.SENT, What.ACCEPTED)));
    await().until(() -> service.trouble().isEmpty());
    holder.join();
  }

  @Test
  void whatBecameOfACall_isKeptOnce_howeverOftenItIsOffered() {
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));
    await().until(() -> whats().equals(List.of(What.QUEUED, What.SENT, What.ACCEPTED)));
    List<CallBook.Entry> entries = book.newest(1).get(0).entries();

    book.keep(service.state(), Map.of(), entries, List.of());

    assertThat(whats()).containsExactly(What.QUEUED, What.SENT, What.ACCEPTED);
  }

  @Test
  void callForTheMonitor_isKeptAsOne() {
    service.described(Made.stockedFarm(), Set.of());
    service.looked(
        List.of(), List.of(Made.trouble(TroubleKind.DISK_FULL, "The disk is full: 0 MB.")));

    await()
        .until(
            () ->
                book.deliveries(Made.NIGHT, Made.NIGHT.plusSeconds(60)).forTheMonitor().size()
                    == 1);
  }

  @Test
  void thinking_isCounted_soThatAWatchdogSeesItStandStill() {
    long before = service.turns();

    await().until(() -> service.turns() > before + 1);
  }

  @Test
  void triedAgainInTheSameWords_isTheSameDocument_linkAndAll() throws IOException {
    service.close();
    List<Message> tried = new CopyOnWriteArrayList<>();
    push =
        message -> {
          tried.add(message);
          return tried.size() == 1 ? Delivery.failed("answers 503") : take(message);
        };
    service = started(Optional.of(HaveLinks.in(folder, URI.create("https://fish.example.org/"))));
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));
    await().until(() -> tried.size() == 1);
    now = now.plusSeconds(10);
    await().until(() -> tried.size() == 2);

    assertThat(tried.get(0).link()).isPresent();
    assertThat(CapXml.of(tried.get(1))).isEqualTo(CapXml.of(tried.get(0)));
    assertThat(CallJson.of(tried.get(1))).isEqualTo(CallJson.of(tried.get(0)));
  }

  @Test
  void linkThatCannotBeMade_keepsNobodyFromBeingCalled() {
    service.close();
    service = started(Optional.of(new HaveLinks(URI.create("https://fish.example.org"), "")));
    service.events(List.of(Made.alarm(Made.NIGHT, 30)));

    await().until(() -> taken.size() == 1);
    assertThat(taken.get(0).link()).isEmpty();
  }

  @Test
  void stumble_isSaidOnThePage_untilItIsOver() {
    now = Instant.MIN; // nothing can be worked out before it
    await().until(() -> service.trouble().orElse("").contains("people may not be called"));

    now = Made.NIGHT.plusSeconds(1);
    await().until(() -> service.trouble().isEmpty());
  }
}
