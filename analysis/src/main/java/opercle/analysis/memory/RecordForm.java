// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Any record as JSON, found out from its components: records in records, enums, numbers, text,
 * times, optional values, lists, sets and maps. Whoever adds a component to a record of the watch's
 * snapshot needs to do nothing here; of a type that has no form, {@link #of} says so.
 *
 * <p>A record is an object with named fields, which another version can still read in part, or,
 * where there is much of it, the bare list of its components, which takes half the room and is for
 * those alone who know its shape.
 */
final class RecordForm extends Form {

  private record Part(String name, Form form, boolean nullable, Method accessor) {}

  private final Class<?> type;
  private final List<Part> parts;
  private final Constructor<?> constructor;
  private final boolean named;

  private RecordForm(Class<?> type, boolean named) {
    this.type = type;
    this.named = named;
    RecordComponent[] components = type.getRecordComponents();
    this.parts = Arrays.stream(components).map(c -> part(c, named)).toList();
    try {
      constructor =
          type.getDeclaredConstructor(
              Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new));
    } catch (NoSuchMethodException e) {
      throw new IllegalStateException("every record has a canonical constructor", e);
    }
    constructor.setAccessible(true); // the watch's records are its own affair otherwise
  }

  /**
   * The form of a record.
   *
   * @param named whether its fields have names
   * @throws IllegalArgumentException if it has a component that cannot be saved
   */
  static RecordForm of(Class<? extends Record> type, boolean named) {
    return new RecordForm(type, named);
  }

  private static Part part(RecordComponent component, boolean named) {
    Method accessor = component.getAccessor();
    accessor.setAccessible(true);
    Form form;
    try {
      form = formOf(component.getGenericType(), named);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(
          component.getDeclaringRecord().getSimpleName()
              + "."
              + component.getName()
              + ": "
              + e.getMessage(),
          e);
    }
    boolean nullable = component.getAnnotatedType().isAnnotationPresent(Nullable.class);
    return new Part(component.getName(), form, nullable, accessor);
  }

  private static Form formOf(Type type, boolean named) {
    if (type instanceof Class<?> plain) {
      @Nullable Form known = PlainForms.ALL.get(plain);
      if (known != null) {
        return known;
      }
      if (plain.isEnum()) {
        return new PlainForms.Choice(plain);
      }
      if (plain.isRecord()) {
        return new RecordForm(plain, named);
      }
      if (plain == OptionalDouble.class) {
        return NestedForms.Perhaps.ofDouble(formOf(double.class, named));
      }
      if (plain == OptionalInt.class) {
        return NestedForms.Perhaps.ofInt(formOf(int.class, named));
      }
      if (plain == OptionalLong.class) {
        return NestedForms.Perhaps.ofLong(formOf(long.class, named));
      }
    }
    if (type instanceof ParameterizedType generic) {
      Type[] of = generic.getActualTypeArguments();
      if (generic.getRawType() == Optional.class) {
        return NestedForms.Perhaps.ofAny(formOf(of[0], named));
      }
      if (generic.getRawType() == List.class) {
        return new NestedForms.Many(formOf(of[0], named), false);
      }
      if (generic.getRawType() == Set.class) {
        return new NestedForms.Many(formOf(of[0], named), true);
      }
      if (generic.getRawType() == Map.class) {
        return new NestedForms.Table(
            of[0] == String.class ? null : keyOf(of[0]), formOf(of[1], named));
      }
    }
    throw new IllegalArgumentException("there is no form in which to save " + type.getTypeName());
  }

  private static PlainForms.Choice keyOf(Type type) {
    if (type instanceof Class<?> plain && plain.isEnum()) {
      return new PlainForms.Choice(plain);
    }
    throw new IllegalArgumentException("a map to be saved has no keys of " + type.getTypeName());
  }

  @Override
  void write(JsonGenerator json, Object value) throws IOException {
    if (named) {
      json.writeStartObject();
    } else {
      json.writeStartArray();
    }
    for (Part part : parts) {
      if (named) {
        json.writeFieldName(part.name());
      }
      @Nullable Object held = held(part, value);
      if (held != null) {
        part.form().write(json, held);
      } else if (part.nullable()) {
        json.writeNull();
      } else {
        throw new IllegalStateException(type.getSimpleName() + "." + part.name() + " is null");
      }
    }
    if (named) {
      json.writeEndObject();
    } else {
      json.writeEndArray();
    }
  }

  private static @Nullable Object held(Part part, Object value) {
    try {
      return part.accessor().invoke(value);
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException("cannot read " + part.accessor(), e);
    }
  }

  @Override
  Object read(JsonNode node, Manner manner) throws UnreadableException {
    if (named ? !node.isObject() : !node.isArray()) {
      throw unreadable(node, "a " + type.getSimpleName());
    }
    if (!(named && manner.lenient) && node.size() != parts.size()) {
      throw new UnreadableException(
          "a %s of %d fields instead of %d"
              .formatted(type.getSimpleName(), node.size(), parts.size()));
    }
    @Nullable Object[] held = new @Nullable Object[parts.size()];
    for (int i = 0; i < held.length; i++) {
      Part part = parts.get(i);
      held[i] = readPart(part, named ? node.get(part.name()) : node.get(i), manner);
    }
    try {
      return constructor.newInstance(held);
    } catch (InvocationTargetException e) {
      throw new UnreadableException(type.getSimpleName() + ": " + e.getCause());
    } catch (ReflectiveOperationException e) {
      throw new IllegalStateException("cannot make a " + type.getSimpleName(), e);
    }
  }

  private @Nullable Object readPart(Part part, @Nullable JsonNode field, Manner manner)
      throws UnreadableException {
    String name = type.getSimpleName() + "." + part.name();
    if (field == null) {
      @Nullable Object empty = part.form().whenMissing();
      if (manner.lenient && (part.nullable() || empty != null)) {
        return part.nullable() ? null : empty;
      }
      throw new UnreadableException(name + " is missing");
    }
    if (field.isNull() && part.nullable()) {
      return null;
    }
    try {
      return part.form().read(field, manner);
    } catch (UnreadableException e) {
      throw new UnreadableException(name + ": " + e.getMessage());
    }
  }

  @Override
  String shape() {
    StringBuilder shape = new StringBuilder(type.getSimpleName()).append('(');
    for (Part part : parts) {
      shape.append(part.name()).append(": ").append(part.form().shape());
      shape.append(part.nullable() ? "|null; " : "; ");
    }
    return shape.append(')').toString();
  }
}
