// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;

/** Rows of the published tables under {@code reference/}, without source lines and header. */
final class Reference {

  private Reference() {}

  static List<List<String>> rows(String file) {
    try (BufferedReader in =
        new BufferedReader(
            new InputStreamReader(
                Objects.requireNonNull(
                    Reference.class.getResourceAsStream("/opercle/simulator/reference/" + file),
                    file),
                StandardCharsets.UTF_8))) {
      return in.lines()
          .filter(line -> !line.startsWith("#"))
          .skip(1)
          .map(line -> Arrays.asList(line.split(",")))
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
