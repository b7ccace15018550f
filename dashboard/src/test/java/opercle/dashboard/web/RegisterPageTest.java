// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Records;
import opercle.analysis.records.RetentionRule;
import org.junit.jupiter.api.Test;

class RegisterPageTest {

  private final List<Recorded> all = new ArrayList<>();

  private void add(String id, Entry entry) {
    all.add(new Recorded(id, all.size() + 1L, FakeFarm.NIGHT, "Maren", Optional.empty(), entry));
  }

  private void treated(String id, String time, String what) {
    add(
        id,
        EntryFields.read(
            Entry.Kind.TREATMENT,
            Map.of(
                "tank",
                "h2",
                "time",
                time,
                "what",
                what,
                "amount",
                "20 mL",
                "reason",
                "tufts",
                "until",
                "2026-03-30")));
  }

  private String page(int year) {
    return RegisterPage.of(
        "{{year}} {{made}} {{movements}} {{treatments}}",
        "Sallowmere",
        Records.of(all),
        Year.of(year),
        LocalDate.of(2027, 1, 5),
        ZoneId.of("Europe/London"));
  }

  @Test
  void treatments_areThoseOfTheYear_andWhatWasTypedIsNoMarkup() {
    treated("bath-2026", "2026-03-14T09:00:00Z", "Salt & <b>iodine</b>");
    treated("bath-2025", "2025-03-14T09:00:00Z", "another year's");

    assertThat(page(2026))
        .contains("Salt &amp; &lt;b&gt;iodine&lt;/b&gt;", "14 Mar 2026, 09:00", "30 Mar 2026")
        .doesNotContain("another year");
  }

  @Test
  void howLongItIsKept_isAsTheKeeperSetItLast_elseSaidToBeOpen() {
    assertThat(page(2026)).contains("is not set").contains("authorisation letter");
    add("keep-0003", new RetentionRule(3));
    add("keep-0006", new RetentionRule(6));

    assertThat(page(2026)).contains("To be kept to 31 Dec 2032");
  }
}
