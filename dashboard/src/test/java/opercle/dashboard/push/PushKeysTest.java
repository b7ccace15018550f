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

class PushKeysTest {

  @TempDir private Path folder;

  @Test
  void pair_isMadeOnce_andReadByItsOwnerAlone() throws IOException {
    Path data = folder.resolve("data");

    PushKeys first = PushKeys.in(data, Optional.empty());
    PushKeys again = PushKeys.in(data, Optional.empty());

    assertThat(again.publicKey()).isEqualTo(first.publicKey()).hasSize(87);
    Path file = data.resolve("push-keys.txt");
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(file)))
        .isEqualTo("rw-------");
    try (Stream<Path> files = Files.list(data)) {
      assertThat(files).containsExactly(file);
    }
  }

  /** The pair of RFC 8291 appendix A, as every version before wrote its own. */
  @Test
  void pairOfAnEarlierVersion_isStillTheFarms() throws IOException {
    String point =
        "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8";
    Files.writeString(
        folder.resolve("push-keys.txt"),
        "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw\n" + point + "\n");

    assertThat(PushKeys.in(folder, Optional.empty()).publicKey()).isEqualTo(point);
  }

  @Test
  void brokenFile_isNotReplaced_andSaysWhatFollows() throws IOException {
    Path file = folder.resolve("push-keys.txt");
    Files.writeString(file, "nothing\n");

    assertThatThrownBy(() -> PushKeys.in(folder, Optional.empty()))
        .isInstanceOf(PushKeysException.class)
        .hasMessageContaining(file.toString())
        .hasMessageContaining("every device must ask for notices again");
    assertThat(file).hasContent("nothing");
  }

  @Test
  void halvesOfTwoPairs_areRefused() throws IOException {
    PushKeys.in(folder, Optional.empty());
    Path file = folder.resolve("push-keys.txt");
    List<String> lines = Files.readAllLines(file);
    Files.write(file, List.of(lines.get(0), PushKeys.fresh(Optional.empty()).publicKey()));

    assertThatThrownBy(() -> PushKeys.in(folder, Optional.empty()))
        .hasMessageContaining("is not a key pair");
  }
}
