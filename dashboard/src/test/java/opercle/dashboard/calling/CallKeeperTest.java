// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.CallingState;
import opercle.dashboard.calling.CallBook.Entry;
import opercle.dashboard.calling.CallBook.What;
import opercle.dashboard.calling.CallKeeper.Kept;
import org.junit.jupiter.api.Test;

class CallKeeperTest {

  private static final int MANY = 6_000;

  @Test
  void whatABookOwesForDays_isBounded_theOldestGoesFirst() {
    Kept owed = turn(0).then(turn(MANY)).then(turn(2 * MANY));

    assertThat(owed.made()).hasSize(CallKeeper.MOST_OWED);
    assertThat(owed.entries()).hasSize(CallKeeper.MOST_OWED);
    assertThat(owed.acknowledged()).hasSize(CallKeeper.MOST_OWED);
    assertThat(owed.made().values()).last().isEqualTo("call " + (3 * MANY - 1));
    assertThat(owed.entries()).extracting(Entry::call).first().isEqualTo("" + (3 * MANY - 10_000));
  }

  private static Kept turn(int from) {
    Map<Call, String> made = new LinkedHashMap<>();
    List<Integer> numbers = IntStream.range(from, from + MANY).boxed().toList();
    numbers.forEach(n -> made.put(Made.call(n), "call " + n));
    return new Kept(
        CallingState.start(Made.NIGHT),
        made,
        numbers.stream()
            .map(n -> new Entry("" + n, Made.NIGHT, What.QUEUED, Optional.empty()))
            .toList(),
        numbers.stream().map(n -> Made.alarm()).toList());
  }
}
