// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

class RecordFormTest {

  private static final ObjectMapper MAPPER = new ObjectMapper();

  enum Colour {
    RED,
    GREEN
  }

  record Inner(double value, long micros, @Nullable String note) {}

  record Everything(
      boolean flag,
      int whole,
      double real,
      String text,
      Instant time,
      Duration span,
      Colour colour,
      @Nullable Inner inner,
      Optional<Inner> perhaps,
      OptionalDouble perhapsReal,
      OptionalInt perhapsWhole,
      OptionalLong perhapsLong,
      List<Inner> list,
      Set<Colour> colours,
      Map<Colour, List<Double>> table,
      Map<String, Inner> named) {}

  @Provide
  Arbitrary<Inner> inners() {
    return Combinators.combine(
            doubles(), Arbitraries.longs(), Arbitraries.strings().injectNull(0.3))
        .as(Inner::new);
  }

  private static Arbitrary<Double> doubles() {
    return Arbitraries.oneOf(
        Arbitraries.longs().map(Double::longBitsToDouble).map(d -> d.isNaN() ? Double.NaN : d),
        Arbitraries.of(
            Double.NaN,
            Double.POSITIVE_INFINITY,
            Double.NEGATIVE_INFINITY,
            -0.0,
            0.0,
            Double.MIN_VALUE,
            -Double.MAX_VALUE));
  }

  @Provide
  Arbitrary<Everything> everything() {
    Arbitrary<Inner> inner = inners();
    Arbitrary<Instant> time =
        Combinators.combine(
                Arbitraries.longs().between(-2_000_000_000L, 4_000_000_000L),
                Arbitraries.integers().between(0, 999_999_999))
            .as((s, n) -> Instant.ofEpochSecond(s, n));
    Arbitrary<Boolean> flag = Arbitraries.of(true, false);
    return Combinators.combine(
            flag,
            Arbitraries.integers(),
            doubles(),
            time,
            inner.injectNull(0.3),
            inner.list().ofMaxSize(5),
            Arbitraries.of(Colour.class).set().ofMaxSize(2),
            doubles().list().ofMaxSize(3))
        .as(
            (f, i, d, t, n, list, colours, reals) ->
                new Everything(
                    f,
                    i,
                    d,
                    "ä\"\\\n" + i,
                    t,
                    Duration.ofNanos(i),
                    f ? Colour.RED : Colour.GREEN,
                    n,
                    Optional.ofNullable(n),
                    f ? OptionalDouble.of(d) : OptionalDouble.empty(),
                    f ? OptionalInt.of(i) : OptionalInt.empty(),
                    f ? OptionalLong.empty() : OptionalLong.of(Long.MIN_VALUE + i),
                    list,
                    colours,
                    Map.of(Colour.GREEN, reals),
                    list.isEmpty() ? Map.of() : Map.of("first", list.get(0))));
  }

  @Property(tries = 500)
  void anyRecord_writtenAndRead_isEqualToTheLastBit(@ForAll("everything") Everything value)
      throws Exception {
    assertThat(read(Everything.class, write(value), Form.Manner.strict())).isEqualTo(value);
    RecordForm compact = RecordForm.of(Everything.class, false);
    String text = write(compact, value);
    assertThat(text).startsWith("[").doesNotContain("micros");
    assertThat(compact.read(MAPPER.readTree(text), Form.Manner.strict())).isEqualTo(value);
  }

  record Old(String name, double level) {}

  record New(String name, Optional<Instant> until, List<String> tanks, boolean quiet) {}

  record Holder(Map<Colour, New> table) {}

  @Test
  void anotherVersionsText_isReadAsFarAsItGoes() throws Exception {
    Form.Manner manner = Form.Manner.lenient();

    Object read = read(New.class, write(new Old("h1", 3.5)), manner);

    assertThat(read).isEqualTo(new New("h1", Optional.empty(), List.of(), false));
    assertThat(manner.leftOut).isEmpty();
  }

  @Test
  void elementThatCannotBeRead_isLeftOutAndTold() throws Exception {
    Form.Manner manner = Form.Manner.lenient();

    Object read =
        read(
            Holder.class,
            "{\"table\":{\"RED\":{\"name\":\"h1\"},\"BLUE\":{\"name\":\"h2\"},\"GREEN\":{}}}",
            manner);

    assertThat(read)
        .isEqualTo(
            new Holder(Map.of(Colour.RED, new New("h1", Optional.empty(), List.of(), false))));
    assertThat(manner.leftOut)
        .containsExactly("\"BLUE\" is not known", "GREEN: New.name is missing");
  }

  @Test
  void strictly_nothingMayBeMissingOrMore() {
    assertThatThrownBy(() -> read(Old.class, "{\"name\":\"h1\"}", Form.Manner.strict()))
        .isInstanceOf(UnreadableException.class)
        .hasMessageContaining("1 fields instead of 2");
    assertThatThrownBy(
            () -> read(Old.class, "{\"name\":\"h1\",\"level\":\"deep\"}", Form.Manner.strict()))
        .isInstanceOf(UnreadableException.class)
        .hasMessage("Old.level: \"deep\" where a number should be");
    assertThatThrownBy(() -> read(Old.class, "{\"name\":7,\"level\":1.0}", Form.Manner.strict()))
        .hasMessage("Old.name: 7 where text should be");
  }

  record OtherOld(String name, long level) {}

  @Test
  void shape_changesWithNamesAndTypes() {
    assertThat(RecordForm.of(Old.class, true).shape())
        .isEqualTo("Old(name: text; level: double; )");
    assertThat(RecordForm.of(OtherOld.class, true).shape()).contains("level: long");
  }

  record Unsaveable(List<Path> paths) {}

  @Test
  void typeWithoutAForm_isNamedWithItsField() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> RecordForm.of(Unsaveable.class, true))
        .withMessageContaining("Unsaveable.paths")
        .withMessageContaining("java.nio.file.Path");
  }

  private static String write(Record value) throws IOException {
    return write(RecordForm.of(value.getClass(), true), value);
  }

  private static String write(RecordForm form, Record value) throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = new JsonFactory().createGenerator(text)) {
      form.write(json, value);
    }
    return text.toString();
  }

  private static Object read(Class<? extends Record> type, String text, Form.Manner manner)
      throws IOException, UnreadableException {
    JsonNode node = MAPPER.readTree(text);
    return RecordForm.of(type, true).read(node, manner);
  }
}
