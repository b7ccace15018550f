// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.function.Function;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/** Forms of optional values, lists, sets and maps. */
final class NestedForms {

  private NestedForms() {}

  /** An optional value: null, or as the value itself. */
  static final class Perhaps extends Form {
    private final Form inner;
    private final Object empty;
    private final Predicate<Object> isPresent;
    private final Function<Object, Object> get;
    private final Function<Object, Object> of;

    private Perhaps(
        Form inner,
        Object empty,
        Predicate<Object> isPresent,
        Function<Object, Object> get,
        Function<Object, Object> of) {
      this.inner = inner;
      this.empty = empty;
      this.isPresent = isPresent;
      this.get = get;
      this.of = of;
    }

    static Perhaps ofAny(Form inner) {
      return new Perhaps(
          inner,
          Optional.empty(),
          o -> ((Optional<?>) o).isPresent(),
          o -> ((Optional<?>) o).orElseThrow(),
          Optional::of);
    }

    static Perhaps ofDouble(Form inner) {
      return new Perhaps(
          inner,
          OptionalDouble.empty(),
          o -> ((OptionalDouble) o).isPresent(),
          o -> ((OptionalDouble) o).orElseThrow(),
          v -> OptionalDouble.of((Double) v));
    }

    static Perhaps ofInt(Form inner) {
      return new Perhaps(
          inner,
          OptionalInt.empty(),
          o -> ((OptionalInt) o).isPresent(),
          o -> ((OptionalInt) o).orElseThrow(),
          v -> OptionalInt.of((Integer) v));
    }

    static Perhaps ofLong(Form inner) {
      return new Perhaps(
          inner,
          OptionalLong.empty(),
          o -> ((OptionalLong) o).isPresent(),
          o -> ((OptionalLong) o).orElseThrow(),
          v -> OptionalLong.of((Long) v));
    }

    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      if (isPresent.test(value)) {
        inner.write(json, get.apply(value));
      } else {
        json.writeNull();
      }
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      return node.isNull() ? empty : of.apply(inner.read(node, manner));
    }

    @Override
    String shape() {
      return inner.shape() + "?";
    }

    @Override
    Object whenMissing() {
      return empty;
    }
  }

  /** A list or a set. */
  static final class Many extends Form {
    private final Form each;
    private final boolean isSet;

    Many(Form each, boolean isSet) {
      this.each = each;
      this.isSet = isSet;
    }

    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeStartArray();
      for (Object element : (Collection<?>) value) {
        each.write(json, element);
      }
      json.writeEndArray();
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (!node.isArray()) {
        throw unreadable(node, "a list");
      }
      Collection<Object> all = isSet ? new LinkedHashSet<>() : new ArrayList<>(node.size());
      for (JsonNode element : node) {
        Object read = readElement(each, String.valueOf(all.size()), element, manner);
        if (read != null) {
          all.add(read);
        }
      }
      return isSet
          ? Collections.unmodifiableSet((LinkedHashSet<Object>) all)
          : Collections.unmodifiableList((ArrayList<Object>) all);
    }

    @Override
    String shape() {
      return (isSet ? "set of " : "list of ") + each.shape();
    }

    @Override
    Object whenMissing() {
      return isSet ? java.util.Set.of() : List.of();
    }
  }

  /** A map from text or an enum's constants. */
  static final class Table extends Form {
    private final PlainForms.@Nullable Choice key;
    private final Form each;

    Table(PlainForms.@Nullable Choice key, Form each) {
      this.key = key;
      this.each = each;
    }

    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeStartObject();
      for (Map.Entry<?, ?> entry : ((Map<?, ?>) value).entrySet()) {
        Object k = entry.getKey();
        json.writeFieldName(k instanceof Enum<?> constant ? constant.name() : (String) k);
        each.write(json, entry.getValue());
      }
      json.writeEndObject();
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (!node.isObject()) {
        throw unreadable(node, "a table");
      }
      Map<Object, Object> all = new LinkedHashMap<>();
      for (Map.Entry<String, JsonNode> entry : node.properties()) {
        Object k = key == null ? entry.getKey() : key.named(entry.getKey());
        if (k == null) {
          if (!manner.lenient) {
            throw new UnreadableException("\"" + entry.getKey() + "\" is not known");
          }
          manner.leftOut.add("\"" + entry.getKey() + "\" is not known");
          continue;
        }
        Object read = readElement(each, entry.getKey(), entry.getValue(), manner);
        if (read != null) {
          all.put(k, read);
        }
      }
      return Collections.unmodifiableMap(all);
    }

    @Override
    String shape() {
      return "table of " + (key == null ? "text" : key.shape()) + " to " + each.shape();
    }

    @Override
    Object whenMissing() {
      return Map.of();
    }
  }

  private static @Nullable Object readElement(
      Form each, String name, JsonNode element, Form.Manner manner) throws UnreadableException {
    try {
      return each.read(element, manner);
    } catch (UnreadableException e) {
      String words = name + ": " + e.getMessage();
      if (!manner.lenient) {
        throw new UnreadableException(words);
      }
      manner.leftOut.add(words);
      return null;
    }
  }
}
