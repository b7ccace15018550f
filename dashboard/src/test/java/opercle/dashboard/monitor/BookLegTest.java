// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.BookException;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.Test;

class BookLegTest {

  private static final TroubleKey AWAY = TroubleKey.of(TroubleKind.BOOK_AWAY);
  private static final String PLACE = "postgresql://127.0.0.1:5432/opercle";

  private final Deque<Runnable> elsewhere = new ArrayDeque<>();
  private Optional<String> wrong = Optional.empty();
  private final BookLeg leg = new BookLeg(PLACE, this::ask, elsewhere::add);

  private void ask() {
    if (wrong.isPresent()) {
      throw new BookException(wrong.get());
    }
  }

  private Map<TroubleKey, String> look(long second) {
    return leg.look(Duration.ofSeconds(second).toNanos());
  }

  private void answer() {
    elsewhere.remove().run();
  }

  @Test
  void book_isAskedEveryTenSeconds_andSilentWhileAllIsWell() {
    for (int second = 0; second < 30; second++) {
      assertThat(look(second)).isEmpty();
      if (second % 10 == 0) {
        answer();
      }
      assertThat(elsewhere).isEmpty();
    }
  }

  @Test
  void book_thatTakesNothing_isTold_untilItDoesAgain() {
    wrong = Optional.of("the farm book there could not take anything: the server has gone");
    look(0);
    answer();

    assertThat(look(1))
        .containsExactly(
            Map.entry(
                AWAY,
                "The farm book there could not take anything: the server has gone. Alarms are told"
                    + " all the same and wait to be written down."));

    wrong = Optional.empty();
    look(10);
    answer();
    assertThat(look(11)).isEmpty();
  }

  @Test
  void book_thatHangs_isToldAfterHalfAMinute_andNotAskedMeanwhile() {
    look(0);
    assertThat(look(29)).isEmpty();

    assertThat(look(30)).containsOnlyKeys(AWAY);
    assertThat(elsewhere).hasSize(1);

    answer();
    assertThat(look(31)).isEmpty();
  }
}
