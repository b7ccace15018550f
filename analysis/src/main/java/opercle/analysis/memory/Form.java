// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** How values of one type are written as JSON and read back. Immutable. */
abstract class Form {

  /**
   * How strictly text is read, and what was left out of it.
   *
   * <p>Strict, everything must be there and nothing else. Lenient, for what another version wrote:
   * fields that are not known are passed over, missing ones are empty where emptiness is a value,
   * and an element of a list or a map that still cannot be read is left out and told.
   */
  static final class Manner {
    final boolean lenient;
    final List<String> leftOut = new ArrayList<>();

    private Manner(boolean lenient) {
      this.lenient = lenient;
    }

    static Manner strict() {
      return new Manner(false);
    }

    static Manner lenient() {
      return new Manner(true);
    }
  }

  abstract void write(JsonGenerator json, Object value) throws IOException;

  abstract Object read(JsonNode node, Manner manner) throws UnreadableException;

  /** The type in words that change when what is written changes. */
  abstract String shape();

  /** What a missing field means where the reader is lenient; null: it must not be missing. */
  @Nullable Object whenMissing() {
    return null;
  }

  static UnreadableException unreadable(JsonNode node, String wanted) {
    String text = node.toString();
    return new UnreadableException(
        "%s where %s should be"
            .formatted(text.length() > 40 ? text.substring(0, 40) : text, wanted));
  }
}
