// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static opercle.analysis.records.Sallowmere.STEW;
import static opercle.analysis.records.Sallowmere.ZONE;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.Year;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import opercle.analysis.records.Recorded.Correction;
import org.junit.jupiter.api.Test;

class RegisterTest {

  private static Movement tench(String species, Instant at) {
    return Sallowmere.moved(species, OptionalLong.of(5), Optional.empty(), Optional.of(STEW), at);
  }

  @Test
  void rows_showEveryVersion_ofTheYearAtTheFarm() {
    Instant july = Instant.parse("2026-07-01T08:00:00Z");
    Records records =
        new Sallowmere()
            .add("move-july", tench("Tench", july))
            .add(
                "move-july-b",
                tench("Tench", july),
                Optional.of(new Correction("move-july", "Was never made", true)))
            .add("move-new-year", tench("Tench", Instant.parse("2026-12-31T23:30:00Z")))
            .add("move-next-year", tench("Tench", Instant.parse("2027-01-01T00:30:00Z")))
            .records();

    List<List<String>> rows = Register.rows(records, Year.of(2026), ZONE);

    int stands = Register.COLUMNS.indexOf("stands");
    int entry = Register.COLUMNS.indexOf("entry");
    assertThat(rows).allMatch(row -> row.size() == Register.COLUMNS.size());
    assertThat(rows)
        .extracting(row -> row.get(entry) + " " + row.get(stands))
        .containsExactly("move-july corrected", "move-july-b withdrawn", "move-new-year yes");
    assertThat(rows.get(0).get(Register.COLUMNS.indexOf("departs_local")))
        .isEqualTo("2026-07-01 09:00");
  }

  @Test
  void paperThatIsCorrectedLater_changesNoOldRow_butIsMarked() {
    Movement move =
        Sallowmere.carp(
            STEW,
            Sallowmere.LONG_WATER,
            new Movement.Papers(
                Optional.empty(),
                Optional.empty(),
                List.of("permit-site"),
                List.of(),
                Optional.empty(),
                Optional.empty()));
    Records records =
        new Sallowmere()
            .add("move-july", move)
            .add(
                "permit-site-b",
                Sallowmere.permit(
                    Permit.Type.SITE_PERMIT,
                    "SP-115",
                    Optional.of(Sallowmere.LONG_WATER),
                    Optional.empty()),
                Optional.of(new Correction("permit-site", "Misread", false)))
            .records();

    int permits = Register.COLUMNS.indexOf("permits");
    assertThat(Register.rows(records, Year.of(2026), ZONE).get(0).get(permits))
        .contains("SP-114 (corrected since to")
        .contains("SP-115)");
  }

  @Test
  void csv_quotesWhatMustBe_andGuardsFormulas() {
    Records records =
        new Sallowmere()
            .add("move-odd", tench("=SUM(A1), \"tench\"", Instant.parse("2026-07-01T08:00:00Z")))
            .records();

    assertThat(Register.csv(Register.rows(records, Year.of(2026), ZONE)))
        .startsWith("departs_utc,departs_local,")
        .contains("\r\n2026-07-01T08:00:00Z,2026-07-01 09:00,2026-07-01T09:00:00Z,")
        .contains(",\"'=SUM(A1), \"\"tench\"\"\",5,,")
        .endsWith("\r\n");
  }
}
