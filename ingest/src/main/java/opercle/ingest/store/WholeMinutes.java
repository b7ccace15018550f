// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.util.ArrayList;
import java.util.List;
import java.util.function.UnaryOperator;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Minutes with all that was sent of them before, as far as InfluxDB says what that was. One that it
 * does not answer for goes as it is: sending must not stop for that. For one thread.
 */
final class WholeMinutes {

  private static final Logger LOG = LoggerFactory.getLogger(WholeMinutes.class);

  /** It will not answer for the rest either, and each question may take as long as we wait. */
  private static final int MOST_UNANSWERED = 2;

  private final UnaryOperator<Unsent> question;
  private boolean isSaid;

  /**
   * @param question asks what was sent of a minute, and gives it with that
   */
  WholeMinutes(UnaryOperator<Unsent> question) {
    this.question = question;
  }

  /**
   * The same minutes, made whole one by one. After two in a row that are not answered for no more
   * is asked.
   *
   * @throws StoreException if InfluxDB is away or busy: the same may go well soon
   */
  List<Unsent> of(List<Unsent> waiting) {
    List<Unsent> items = new ArrayList<>(waiting);
    int inARow = 0;
    boolean wasAnswered = false;
    boolean wasRefused = false;
    for (int i = 0; i < items.size() && inARow < MOST_UNANSWERED; i++) {
      Unsent item = items.get(i);
      if (item.isWhole()) {
        continue;
      }
      try {
        items.set(i, question.apply(item));
        inARow = 0;
        wasAnswered = true;
      } catch (ReadRefusedException | ReadTimedOutException e) {
        inARow++;
        wasRefused = true;
        say(item, e);
      }
    }
    if (wasAnswered && !wasRefused) {
      isSaid = false; // the next refusal is news again
    }
    return items;
  }

  private void say(Unsent item, StoreException why) {
    if (!isSaid) {
      isSaid = true;
      LOG.warn(
          "InfluxDB takes what is written and does not answer what was sent before of a minute that this spool does not have whole, as that of {} {} at {}. All readings are sent; such a minute's lowest, highest, mean and count stay there as they are. Where the token may only write, let it read too. {}",
          item.series().tank(),
          item.series().quantity().id(),
          item.start(),
          why.getMessage());
    }
  }
}
