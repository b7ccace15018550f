// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.HashMap;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class EntryFieldsTest {

  @Test
  void everyKindOfEntry_comesBackAsItWas() {
    Records records =
        new Sallowmere()
            .add("move-complete", Sallowmere.complete())
            .add("party-ford", new Party("Ford & Daughters", empty(), empty()))
            .add("rule-nine", new HealthRule(12, 9))
            .add("keep-six", new RetentionRule(6))
            .records();

    assertThat(records.all())
        .extracting(r -> r.entry().kind())
        .contains( // those of tanks have a test of their own
            Stream.of(Entry.Kind.values()).filter(k -> !k.isOfTank()).toArray(Entry.Kind[]::new));
    for (Recorded recorded : records.all()) {
      Entry entry = recorded.entry();
      assertThat(EntryFields.read(entry.kind(), EntryFields.of(entry))).isEqualTo(entry);
    }
  }

  private static java.util.Optional<String> empty() {
    return java.util.Optional.empty();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "species | | species: must be text but is missing",
        "departs | yesterday | departs: must be a time such as 2026-11-20T08:00:00Z but was 'yesterday'",
        "count | many | count: must be a whole number but was 'many'",
        "permits | one | permits: must be a list of ids but was 'one'",
        "colour | green | colour: a movement has no such field",
      })
  void fieldThatIsWrong_isNamed(String field, String value, String words) {
    Map<String, Object> fields = new HashMap<>(EntryFields.of(Sallowmere.complete()));
    if (value == null) {
      fields.remove(field);
    } else {
      fields.put(field, value);
    }

    assertThatThrownBy(() -> EntryFields.read(Entry.Kind.MOVEMENT, fields)).hasMessage(words);
  }
}
