// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;

/**
 * A record as JSON text and back, for keeping in a database. What another version wrote is read as
 * far as it can be. Immutable; safe for many threads.
 *
 * @param <T> the record's type
 */
public final class RecordText<T extends Record> {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final Class<T> type;
  private final RecordForm form;

  private RecordText(Class<T> type) {
    this.type = type;
    this.form = RecordForm.of(type, true);
  }

  /**
   * For records of that type.
   *
   * @throws IllegalArgumentException if it has a component that cannot be saved
   */
  public static <T extends Record> RecordText<T> of(Class<T> type) {
    return new RecordText<>(type);
  }

  /** The record as JSON. */
  public String write(T value) {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = JSON.createGenerator(text)) {
      form.write(json, value);
    } catch (IOException e) {
      throw new UncheckedIOException("writing to a string cannot fail", e);
    }
    return text.toString();
  }

  /**
   * The record that the text holds.
   *
   * @throws IllegalArgumentException if it holds none, with the reason
   */
  public T read(String text) {
    try {
      return type.cast(form.read(JSON.readTree(text), Form.Manner.lenient()));
    } catch (JsonProcessingException e) {
      throw new IllegalArgumentException("not JSON: " + e.getOriginalMessage(), e);
    } catch (UnreadableException e) {
      throw new IllegalArgumentException(e.getMessage(), e);
    }
  }
}
