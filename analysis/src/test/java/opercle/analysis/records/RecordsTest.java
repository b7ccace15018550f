// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static opercle.analysis.records.Sallowmere.MORNING;
import static opercle.analysis.records.Sallowmere.STEW;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import java.util.Optional;
import java.util.OptionalLong;
import opercle.analysis.records.Recorded.Correction;
import org.junit.jupiter.api.Test;

class RecordsTest {

  private final Sallowmere farm = new Sallowmere();

  private static Optional<Correction> correcting(String id, boolean withdraws) {
    return Optional.of(new Correction(id, "Counted again", withdraws));
  }

  private static Movement tench(long count) {
    return Sallowmere.moved(
        "Tench", OptionalLong.of(count), Optional.empty(), Optional.of(STEW), MORNING);
  }

  @Test
  void correctedEntry_standsAsCorrected_andKeepsEveryVersion() {
    farm.add("move-tench", tench(40))
        .add("move-tench-b", tench(42), correcting("move-tench", false))
        .add("move-tench-c", tench(41), correcting("move-tench-b", false));

    Standing<Movement> standing = farm.records().find(Movement.class, "move-tench-b").orElseThrow();
    assertThat(standing.id()).isEqualTo("move-tench");
    assertThat(standing.entry().count()).hasValue(41);
    assertThat(standing.versions())
        .extracting(Recorded::id)
        .containsExactly("move-tench", "move-tench-b", "move-tench-c");
    assertThat(farm.records().standing(Movement.class)).hasSize(1);
  }

  @Test
  void withdrawnEntry_standsNoMore_andCanStillBeRead() {
    farm.add("move-tench", tench(40))
        .add("move-tench-b", tench(40), correcting("move-tench", true));

    assertThat(farm.records().standing(Movement.class)).isEmpty();
    assertThat(farm.records().withWithdrawn(Movement.class))
        .singleElement()
        .satisfies(s -> assertThat(s.versions()).hasSize(2));
  }

  @Test
  void namesOfNothing_andCorrectionsOfOtherKinds_areRefused() {
    Records records = farm.records();
    Movement astray =
        Sallowmere.moved(
            "Tench", OptionalLong.of(1), Optional.empty(), Optional.of("permit-farm"), MORNING);

    assertThat(records.refusal(recorded(astray, Optional.empty())))
        .contains("The water that this names is not in the records; choose another");
    assertThat(records.refusal(recorded(tench(1), correcting(STEW, false))))
        .contains("A movement cannot take the place of a water");
    assertThat(records.refusal(recorded(tench(1), correcting("no-such-entry", false))))
        .contains("What this puts right is not in the records; load the page again");
    assertThat(records.refusal(recorded(tench(1), Optional.empty()))).isEmpty();
  }

  private static Recorded recorded(Entry entry, Optional<Correction> correction) {
    return new Recorded("new-entry-1", 99, MORNING, "Tove", correction, entry);
  }

  @Test
  void whatRunsOut_comesSoonestFirst_withoutWhatIsLongOver() {
    farm.add(
        "permit-long-over",
        Sallowmere.permit(
            Permit.Type.OTHER, "OLD", Optional.empty(), Optional.of(LocalDate.of(2026, 1, 1))));

    assertThat(RunsOut.of(farm.records(), LocalDate.of(2026, 11, 20)))
        .extracting(RunsOut::title, RunsOut::daysLeft, RunsOut::byRule)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple("supplier permit SU-3", 41L, false),
            org.assertj.core.groups.Tuple.tuple("health check HC-88", 100L, true));
  }

  @Test
  void movementOutOfItsLimits_isRefusedByField() {
    assertThatThrownBy(() -> tench(0)).hasMessageStartingWith("count: must be 1–");
    assertThatThrownBy(
            () ->
                Sallowmere.moved(
                    " ", OptionalLong.of(1), Optional.empty(), Optional.of(STEW), MORNING))
        .hasMessage("species: must have 1–120 letters but has 0");
    assertThatThrownBy(
            () ->
                Sallowmere.moved(
                    "Tench", OptionalLong.of(1), Optional.of(STEW), Optional.of(STEW), MORNING))
        .hasMessage("to: must be another water than from");
    assertThatThrownBy(() -> recorded(tench(1), correcting("new-entry-1", false)))
        .hasMessage("corrects: an entry cannot correct itself");
  }
}
