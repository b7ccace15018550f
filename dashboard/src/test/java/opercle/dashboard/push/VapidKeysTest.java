// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class VapidKeysTest {

  @TempDir private Path folder;

  @Test
  void pair_isMadeOnce_andReadByItsOwnerAlone() throws IOException {
    Path data = folder.resolve("data");

    VapidKeys first = VapidKeys.in(data, Optional.empty());
    VapidKeys again = VapidKeys.in(data, Optional.empty());

    assertThat(again.publicKey()).isEqualTo(first.publicKey()).hasSize(87);
    Path file = data.resolve("push-keys.txt");
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(file)))
        .isEqualTo("rw-------");
    try (Stream<Path> files = Files.list(data)) {
      assertThat(files).containsExactly(file);
    }
  }

  @Test
  void brokenFile_isNotReplaced_andSaysWhatFollows() throws IOException {
    Path file = folder.resolve("push-keys.txt");
    Files.writeString(file, "nothing\n");

    assertThatThrownBy(() -> VapidKeys.in(folder, Optional.empty()))
        .isInstanceOf(PushKeysException.class)
        .hasMessageContaining(file.toString())
        .hasMessageContaining("every device must ask for notices again");
    assertThat(file).hasContent("nothing");
  }

  @Test
  void halvesOfTwoPairs_areRefused() throws IOException {
    VapidKeys.in(folder, Optional.empty());
    Path file = folder.resolve("push-keys.txt");
    List<String> lines = Files.readAllLines(file);
    Files.write(file, List.of(lines.get(0), VapidKeys.fresh(Optional.empty()).publicKey()));

    assertThatThrownBy(() -> VapidKeys.in(folder, Optional.empty()))
        .hasMessageContaining("not of one pair");
  }
}
