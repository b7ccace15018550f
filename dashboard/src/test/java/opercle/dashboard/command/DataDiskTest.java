// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DataDiskTest {

  @Test
  void fullDisk_isSaid_withWhatIsLeftAndWhatIsNeeded() {
    assertThat(DataDisk.problem(Path.of("data"), 12_345).orElseThrow().toString())
        .contains("data", "the disk is full: 12 kB are left, and starting takes 4096 kB")
        .contains("No tank is watched");
    assertThat(DataDisk.problem(Path.of("data"), DataDisk.LEAST_BYTES)).isEmpty();
  }

  @Test
  void folderThatIsNotThereYet_isAskedForByTheOneItWillBeIn(@TempDir Path folder) {
    assertThatCode(() -> DataDisk.requireRoom(folder.resolve("a/b/c"))).doesNotThrowAnyException();
  }
}
