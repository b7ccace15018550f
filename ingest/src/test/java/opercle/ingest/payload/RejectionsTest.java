// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.entry;

import java.time.Instant;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Rejection.Reason;
import org.junit.jupiter.api.Test;

class RejectionsTest {

  @Test
  void rejections_areCountedByReasonAndTheLatestKept() {
    Rejections rejections = new Rejections();

    for (int i = 0; i < 30; i++) {
      Reason reason = i % 3 == 0 ? Reason.EMPTY : Reason.MALFORMED;
      rejections.add(new Rejection(reason, "t", "number " + i, Instant.EPOCH));
    }

    assertThat(rejections.total()).isEqualTo(30);
    assertThat(rejections.counts())
        .containsOnly(entry(Reason.EMPTY, 10L), entry(Reason.MALFORMED, 20L));
    assertThat(rejections.latest()).hasSize(Rejections.KEPT);
    assertThat(rejections.latest().get(0).detail()).isEqualTo("number 29");
  }
}
