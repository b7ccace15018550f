// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.json.JsonReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.dataformat.cbor.CBORFactory;
import java.io.IOException;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Reads JSON and CBOR into trees, with narrow limits on what a stranger may make us build.
 *
 * <p>Safe for many threads.
 */
final class Trees {

  /** Levels of arrays and objects; SenML has two, devices seldom more than six. */
  static final int DEEPEST = 32;

  private static final Logger LOG = LoggerFactory.getLogger(Trees.class);

  private static final StreamReadConstraints LIMITS =
      StreamReadConstraints.builder()
          .maxNestingDepth(DEEPEST)
          .maxNumberLength(100)
          .maxStringLength(PayloadDecoder.LARGEST_BYTES)
          .maxNameLength(256)
          .build();

  private static final ObjectMapper JSON =
      mapper(
          JsonFactory.builder()
              .streamReadConstraints(LIMITS)
              .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
              // NaN is no JSON, but devices send it; so only that record is lost, not the pack.
              .enable(JsonReadFeature.ALLOW_NON_NUMERIC_NUMBERS)
              .build());

  private static final ObjectMapper CBOR =
      mapper(
          CBORFactory.builder()
              .streamReadConstraints(LIMITS)
              .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
              .build());

  private Trees() {}

  /** Thrown for what is not well-formed or beyond the limits. */
  static final class UnreadableException extends Exception {
    private static final long serialVersionUID = 1L;

    private final String shown;

    UnreadableException(String shown, Throwable cause) {
      super(shown, cause);
      this.shown = shown;
    }

    /** What is wrong, in words fit for a rejection. */
    String shown() {
      return shown;
    }
  }

  static JsonNode json(String text) throws UnreadableException {
    try {
      return JSON.readTree(text);
    } catch (IOException e) {
      throw unreadable("JSON", e);
    }
  }

  static JsonNode cbor(byte[] bytes) throws UnreadableException {
    try {
      return CBOR.readTree(bytes);
    } catch (IOException | RuntimeException e) {
      // The binary parser trusts some lengths and tags and can fall over them in its own ways.
      throw unreadable("CBOR", e);
    }
  }

  private static UnreadableException unreadable(String form, Exception e) {
    @Nullable JsonLocation at = e instanceof JsonProcessingException p ? p.getLocation() : null;
    LOG.debug("not well-formed {}", form, e);
    return new UnreadableException(
        "not well-formed %s%s".formatted(form, at == null ? "" : place(at)), e);
  }

  private static String place(JsonLocation at) {
    long before = Math.max(at.getByteOffset(), at.getCharOffset());
    return before < 0 ? "" : ": it cannot be read on after %d characters".formatted(before);
  }

  private static ObjectMapper mapper(JsonFactory factory) {
    return JsonMapper.builder(factory)
        .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .build();
  }
}
