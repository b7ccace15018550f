// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import opercle.analysis.book.PhotoRecords.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PhotoRecordsTest {

  private static final Instant AT = Instant.parse("2026-03-14T08:00:00Z");

  @TempDir Path folder;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @Test
  void picture_comesBackByteForByte_andIsNeverReplaced() {
    byte[] jpeg = {(byte) 0xff, (byte) 0xd8, 0, 1, (byte) 0x80, 39, 92, 0};
    try (FarmBook book = FarmBook.open(kind().place(folder))) {
      PhotoRecords photos = new PhotoRecords(book, "Sallowmere");

      assertThat(photos.keep("check-0001", AT, "Maren", "sum", jpeg)).isEqualTo(Outcome.KEPT);
      assertThat(photos.keep("check-0001", AT, "Maren", "sum", jpeg))
          .isEqualTo(Outcome.KEPT_BEFORE);
      assertThat(photos.keep("check-0001", AT, "Tove", "other", new byte[] {1}))
          .isEqualTo(Outcome.ANOTHER_IS_THERE);
      assertThat(photos.find("check-0001")).hasValueSatisfying(b -> assertThat(b).isEqualTo(jpeg));
      assertThat(new PhotoRecords(book, "Elsewhere").find("check-0001")).isEmpty();
    }
  }
}
