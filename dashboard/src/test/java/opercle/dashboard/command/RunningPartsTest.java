// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class RunningPartsTest {

  private final List<String> stopped = new ArrayList<>();

  private AutoCloseable part(String name) {
    return () -> stopped.add(name);
  }

  @Test
  void parts_areStoppedOnceAndInTheOppositeOrder() {
    RunningParts parts = new RunningParts();
    parts.add(part("broker"));
    parts.add(part("store"));
    parts.add(part("watch"));

    parts.close();
    parts.close();

    assertThat(stopped).containsExactly("watch", "store", "broker");
  }

  @Test
  void partThatCannotBeStopped_doesNotKeepTheOthersGoing() {
    RunningParts parts = new RunningParts();
    parts.add(part("broker"));
    parts.add(
        () -> {
          throw new IllegalStateException("stuck");
        });

    parts.close();

    assertThat(stopped).containsExactly("broker");
  }

  /** The demo's broker starts on a thread of its own, and may be up only when all has failed. */
  @Test
  void partThatIsUpOnlyAfterTheEnd_isStoppedAtOnce() {
    RunningParts parts = new RunningParts();
    parts.close();

    parts.add(part("broker"));

    assertThat(stopped).containsExactly("broker");
  }
}
