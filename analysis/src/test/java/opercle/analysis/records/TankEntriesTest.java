// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import opercle.analysis.records.TankEntry.Where;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.TripEntry.StopCheck;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class TankEntriesTest {

  private static final Instant MONDAY = Instant.parse("2026-11-16T09:00:00Z");
  private static final Where H1 = new Where("h1", Optional.of("Holding 1"), MONDAY);
  private static final OptionalDouble NONE = OptionalDouble.empty();

  static Stream<TankEntry> everyKind() {
    return Stream.of(
        new TankEntry.Feed(H1, OptionalDouble.of(0.4), OptionalDouble.of(42.0), Optional.empty()),
        new TankEntry.WaterChange(H1, 300.0, Optional.of("slowly")),
        new TankEntry.Salt(H1, 3.0, Optional.of("netted yesterday")),
        new TankEntry.TopUp(
            H1,
            40.0,
            TankEntry.TopUp.Lost.RAN_OUT,
            OptionalDouble.of(0.08),
            Optional.of("over the rim")),
        new TankEntry.WaterTest(
            H1,
            OptionalDouble.of(1.5),
            OptionalDouble.of(7.4),
            NONE,
            NONE,
            NONE,
            NONE,
            Optional.empty()),
        treatment(Optional.of(LocalDate.of(2026, 11, 30))),
        new TankEntry.HandCheck(
            H1,
            Fish.RESTLESS,
            OptionalDouble.of(8.2),
            OptionalDouble.of(11.5),
            Optional.of("by the window")),
        new TankEntry.Moved(
            H1,
            "h2",
            Optional.of("Holding 2"),
            Optional.of("tench"),
            OptionalDouble.of(20.0),
            Optional.empty()),
        new TankEntry.Cleaning(H1, Optional.empty()));
  }

  @Test
  void aCheckByHand_saysWhatWasSeenAndMeasured_andKeepsToTheMetersLimits() {
    TankEntry.HandCheck check =
        new TankEntry.HandCheck(
            H1, Fish.RESTLESS, OptionalDouble.of(8.2), OptionalDouble.of(11.5), Optional.empty());

    assertThat(check.title()).isEqualTo("Holding 1: fish restless, oxygen 8.2 mg/L, water 11.5 °C");
    assertThatThrownBy(
            () ->
                new TankEntry.HandCheck(
                    H1, Fish.RESTLESS, OptionalDouble.of(82), NONE, Optional.empty()))
        .hasMessage("oxygenMgPerL: must be 0–60 mg/L but was 82");
    assertThat(StopCheck.OXYGEN.high()).as("the same as at a stop").isEqualTo(60.0);
    assertThat(StopCheck.TEMPERATURE.high()).isEqualTo(45.0);
  }

  private static TankEntry.Treatment treatment(Optional<LocalDate> until) {
    return new TankEntry.Treatment(
        H1,
        "a bath",
        "20 mL in 1500 L",
        "spots on the gills",
        Optional.of("as the vet wrote"),
        until,
        Optional.empty());
  }

  @ParameterizedTest
  @MethodSource("everyKind")
  void anEntryComesBackFromItsFields(TankEntry entry) {
    assertThat(EntryFields.read(entry.kind(), EntryFields.of(entry))).isEqualTo(entry);
  }

  @Test
  void everyKindOfATank_isThere() {
    assertThat(everyKind().map(Entry::kind))
        .containsExactlyInAnyOrder(
            Stream.of(Entry.Kind.values()).filter(Entry.Kind::isOfTank).toArray(Entry.Kind[]::new));
  }

  @Test
  void aTestOfNothing_isRefusedByName() {
    assertThatThrownBy(
            () ->
                EntryFields.read(
                    Entry.Kind.WATER_TEST, Map.of("tank", "h1", "time", "2026-11-16T09:00:00Z")))
        .hasMessageStartingWith("tanMgPerL: at least one");
  }

  @Test
  void aPhBeyondTheMeter_isRefusedWithItsLimits() {
    assertThatThrownBy(
            () ->
                EntryFields.read(
                    Entry.Kind.WATER_TEST,
                    Map.of("tank", "h1", "time", "2026-11-16T09:00:00Z", "ph", 74)))
        .hasMessage("ph: must be 4–11 but was 74");
  }

  @Test
  void aWithdrawalPeriod_runsToTheEndOfItsLastDay() {
    Records records = recorded(treatment(Optional.of(LocalDate.of(2026, 11, 20))));
    assertThat(Withdrawals.running(records, "h1", LocalDate.of(2026, 11, 20))).hasSize(1);
    assertThat(Withdrawals.running(records, "h1", LocalDate.of(2026, 11, 21))).isEmpty();
    assertThat(Withdrawals.running(records, "h2", LocalDate.of(2026, 11, 20))).isEmpty();
  }

  @Test
  void aTreatmentOfWhichNobodyNotedAPeriod_runs_unlessTheVetSaidNone() {
    assertThat(Withdrawals.running(recorded(treatmentOf(Optional.empty())), "h1", DAY)).hasSize(1);
    assertThat(Withdrawals.running(recorded(treatmentOf(Optional.of("None"))), "h1", DAY))
        .isEmpty();
  }

  private static final LocalDate DAY = LocalDate.of(2026, 11, 20);

  private static TankEntry.Treatment treatmentOf(Optional<String> words) {
    return new TankEntry.Treatment(
        H1, "a bath", "20 mL", "spots", words, Optional.empty(), Optional.empty());
  }

  @Test
  void aPeriodWhoseEndNobodyNoted_runs() {
    Records records = recorded(treatment(Optional.empty()));
    assertThat(Withdrawals.running(records, "h1", LocalDate.of(2030, 1, 1))).hasSize(1);
  }

  @Test
  void aMovementOfTreatedFish_isPointedOutAndLeftToTheVet() {
    List<Prompt> prompts = leaving(Optional.of(LocalDate.of(2026, 11, 30)));
    assertThat(prompts)
        .singleElement()
        .satisfies(
            p -> {
              assertThat(p.what()).isEqualTo(Prompt.What.RUNS);
              assertThat(p.words())
                  .isEqualTo(
                      "Fish of Holding 1 were given a bath on 16 Nov 2026; the vet's withdrawal period"
                          + " runs to 30 Nov 2026, and they leave on 20 Nov 2026. Ask the vet.");
            });
  }

  @Test
  void afterItsEnd_nothingIsSaid() {
    assertThat(leaving(Optional.of(LocalDate.of(2026, 11, 19)))).isEmpty();
  }

  private static List<Prompt> leaving(Optional<LocalDate> until) {
    Sallowmere farm = new Sallowmere();
    farm.add(
        "water-holding-1",
        Sallowmere.water("holding 1", Water.Type.TANK, Water.Connection.ENCLOSED));
    farm.add("treated-once", treatment(until));
    Movement movement =
        new Movement(
            "Common carp",
            java.util.OptionalLong.of(10),
            NONE,
            Optional.of("water-holding-1"),
            Optional.of(Sallowmere.LONG_WATER),
            Sallowmere.MORNING,
            Sallowmere.MORNING.plusSeconds(3600),
            java.util.OptionalLong.empty(),
            Movement.Means.NOT_SAID,
            Movement.Papers.NONE,
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    return MovementCheck.of(farm.records(), movement, Sallowmere.ZONE).stream()
        .filter(p -> p.need() == Need.WITHDRAWAL)
        .map(
            p ->
                new Prompt(
                    p.need(),
                    p.what(),
                    p.words().replace("holding 1", "Holding 1"),
                    p.reference(),
                    p.ends()))
        .toList();
  }

  private static Records recorded(TankEntry entry) {
    return Records.of(
        List.of(new Recorded("treated-once", 1, MONDAY, "Anna", Optional.empty(), entry)));
  }
}
