// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static opercle.analysis.records.Sallowmere.LONG_WATER;
import static opercle.analysis.records.Sallowmere.MORNING;
import static opercle.analysis.records.Sallowmere.RIVER;
import static opercle.analysis.records.Sallowmere.STEW;
import static opercle.analysis.records.Sallowmere.STILL_WATER;
import static opercle.analysis.records.Sallowmere.ZONE;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import opercle.analysis.records.Movement.Papers;
import opercle.analysis.records.Prompt.What;
import org.junit.jupiter.api.Test;

class MovementCheckTest {

  private final Sallowmere farm = new Sallowmere();

  private List<Prompt> look(Movement movement) {
    return MovementCheck.of(farm.records(), movement, ZONE);
  }

  private static Papers papers(List<String> permits, List<String> checks) {
    return new Papers(
        Optional.empty(),
        Optional.empty(),
        permits,
        checks,
        Optional.of("CN-12"),
        Optional.of("Sent"));
  }

  @Test
  void movementWithEveryPaper_promptsNothing() {
    assertThat(look(Sallowmere.complete())).isEmpty();
  }

  @Test
  void paperThatWasWithdrawn_isNamed_withWhoAndWhy_andDoesNotCount() {
    Permit twice =
        Sallowmere.permit(Permit.Type.SUPPLIER_PERMIT, "SU-9", Optional.empty(), Optional.empty());
    farm.add("permit-twice", twice);
    farm.withdraw("permit-twice", twice, "typed twice");

    assertThat(
            look(
                Sallowmere.carp(
                    STEW,
                    LONG_WATER,
                    papers(
                        List.of("permit-farm", "permit-fishery", "permit-site", "permit-twice"),
                        List.of("check-carp")))))
        .extracting(Prompt::what, Prompt::words)
        .contains(
            org.assertj.core.groups.Tuple.tuple(
                What.WITHDRAWN,
                "It names supplier permit SU-9, which Maren withdrew on 1 Nov 2026"
                    + " (typed twice): it does not count."),
            org.assertj.core.groups.Tuple.tuple(What.MISSING, "No supplier permit is named."));
  }

  @Test
  void supplierPermitOfSomebodyElse_doesNotCount() {
    farm.add("party-withy", new Party("Withy Farm", Optional.empty(), Optional.empty()));
    Papers papers =
        new Papers(
            Optional.of("party-withy"),
            Optional.empty(),
            List.of("permit-farm", "permit-fishery", "permit-site", "permit-supplier"),
            List.of("check-carp"),
            Optional.of("CN-12"),
            Optional.of("Sent"));

    assertThat(look(Sallowmere.carp(STEW, LONG_WATER, papers)))
        .extracting(Prompt::need, Prompt::what)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(Need.SUPPLIER_PERMIT, What.DOES_NOT_MATCH));
  }

  @Test
  void distanceThatNobodySaid_isAskedFor() {
    Movement near = Sallowmere.complete();
    Movement unsaid =
        new Movement(
            near.species(),
            near.count(),
            near.kg(),
            near.from(),
            near.to(),
            near.departs(),
            near.arrives(),
            near.died(),
            Movement.Means.NOT_SAID,
            near.papers(),
            near.disinfection(),
            near.waterChanged(),
            near.note());

    assertThat(look(unsaid))
        .extracting(Prompt::need, Prompt::what)
        .containsExactly(org.assertj.core.groups.Tuple.tuple(Need.TRANSPORTER, What.NOT_SAID));
  }

  @Test
  void fishFromAnotherTank_afterTheSample_arePointedOut() {
    farm.add(
        "moved-in-1",
        new TankEntry.Moved(
            new TankEntry.Where(
                "h1", Optional.of("Holding 1"), Sallowmere.MORNING.minusSeconds(86_400)),
            "s2",
            Optional.of("Stew 2"),
            Optional.of("Common carp"),
            OptionalDouble.of(20.0),
            Optional.empty()));

    assertThat(look(Sallowmere.complete()))
        .extracting(Prompt::need)
        .containsExactly(Need.MIXED_AFTER_SAMPLE);
  }

  @Test
  void movementToFisheryWithoutPapers_promptsForEach() {
    assertThat(look(Sallowmere.carp(STEW, LONG_WATER, Papers.NONE)))
        .extracting(Prompt::need, Prompt::what)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(Need.ORIGIN, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.DESTINATION, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.SITE_PERMIT, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.SUPPLIER_PERMIT, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.CONSIGNMENT_NOTE, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.ADVANCE_NOTICE, What.MISSING),
            org.assertj.core.groups.Tuple.tuple(Need.HEALTH_CHECK, What.MISSING));
  }

  @Test
  void paperThatEndsTheDayBeforeTheArrival_isNamedWithItsEnd() {
    LocalDate arrival = LocalDate.of(2026, 11, 20);
    for (int early : List.of(0, 1)) {
      farm.add(
          "permit-early-" + early,
          Sallowmere.permit(
              Permit.Type.SUPPLIER_PERMIT,
              "SU-9",
              Optional.empty(),
              Optional.of(arrival.minusDays(early))));
    }
    List<String> rest = List.of("permit-farm", "permit-fishery", "permit-site");
    List<String> onTheDay = new java.util.ArrayList<>(rest);
    onTheDay.add("permit-early-0");
    List<String> before = new java.util.ArrayList<>(rest);
    before.add("permit-early-1");

    assertThat(look(Sallowmere.carp(STEW, LONG_WATER, papers(onTheDay, List.of("check-carp")))))
        .isEmpty();
    assertThat(look(Sallowmere.carp(STEW, LONG_WATER, papers(before, List.of("check-carp")))))
        .singleElement()
        .satisfies(
            prompt -> {
              assertThat(prompt.what()).isEqualTo(What.LAPSES);
              assertThat(prompt.reference()).contains("SU-9");
              assertThat(prompt.ends()).contains(LocalDate.of(2026, 11, 19));
              assertThat(prompt.words())
                  .isEqualTo(
                      "The supplier permit SU-9 ends on 19 Nov 2026, before the fish arrive on 20 Nov 2026."
                          + " Our reminder: check the document.");
            });
  }

  @Test
  void healthCheckPastItsMonths_lapses_unlessTheKeeperSetsThemOtherwise() {
    farm.add("check-old", Sallowmere.check("HC-70", "Common carp", LocalDate.of(2026, 5, 20)));
    Movement movement =
        Sallowmere.carp(
            STEW,
            LONG_WATER,
            papers(
                List.of("permit-farm", "permit-fishery", "permit-site", "permit-supplier"),
                List.of("check-old")));

    assertThat(look(movement))
        .singleElement()
        .satisfies(p -> assertThat(p.ends()).contains(LocalDate.of(2026, 11, 19)));
    farm.add("rule-longer", new HealthRule(12, 7));
    assertThat(look(movement)).isEmpty();
  }

  @Test
  void farmedTroutCheck_countsTwelveMonths_othersSix() {
    HealthCheck trout = Sallowmere.check("T", "Rainbow trout", LocalDate.of(2026, 2, 28));

    assertThat(HealthRule.USUAL.lastDay(trout, true)).isEqualTo("2027-02-27");
    assertThat(HealthRule.USUAL.lastDay(trout, false)).isEqualTo("2026-08-27");
    assertThat(
            HealthRule.USUAL.lastDay(
                Sallowmere.check("C", "Tench", LocalDate.of(2026, 8, 31)), true))
        .isEqualTo("2027-02-27");
  }

  @Test
  void fishThatCameInAfterTheSample_arePromptedFor() {
    farm.add(
        "move-later",
        Sallowmere.moved(
            "common  carp",
            OptionalLong.of(50),
            Optional.empty(),
            Optional.of(STEW),
            MORNING.minus(10, ChronoUnit.DAYS)));

    assertThat(look(Sallowmere.complete()))
        .singleElement()
        .satisfies(
            p -> {
              assertThat(p.need()).isEqualTo(Need.MIXED_AFTER_SAMPLE);
              assertThat(p.words()).contains("10 Nov 2026").contains("HC-88");
            });
  }

  @Test
  void permitOfAnotherWater_doesNotMatch() {
    Movement movement =
        Sallowmere.carp(
            STEW,
            STILL_WATER,
            papers(List.of("permit-farm", "permit-site", "permit-supplier"), List.of()));

    assertThat(look(movement))
        .extracting(Prompt::words)
        .contains(
            "The site permit SP-114 is for another water or another site than Still Water.",
            "Not said whether Still Water has an inlet or an outlet, or floods; no health check is named.");
  }

  @Test
  void riverWithoutCheck_andCheckOfOtherFish_arePromptedFor() {
    farm.add("check-tench", Sallowmere.check("HC-90", "Tench", LocalDate.of(2026, 9, 1)));

    assertThat(look(Sallowmere.carp(STEW, RIVER, Papers.NONE)))
        .extracting(Prompt::words)
        .contains("No health check of the Common carp of Stew 2 is named.");
    assertThat(look(Sallowmere.carp(STEW, RIVER, papers(List.of(), List.of("check-tench")))))
        .extracting(Prompt::words)
        .contains(
            "The health check HC-90 is of Tench from Stew 2; these are Common carp from Stew 2.");
  }

  @Test
  void deathsInAWater_promptNothing() {
    assertThat(
            look(
                Sallowmere.moved(
                    "Common carp",
                    OptionalLong.of(3),
                    Optional.of(STEW),
                    Optional.empty(),
                    MORNING)))
        .isEmpty();
  }

  @Test
  void noPrompt_judgesTheMovement() {
    for (String to : List.of(LONG_WATER, STILL_WATER, RIVER)) {
      assertThat(look(Sallowmere.carp(STEW, to, Papers.NONE)))
          .isNotEmpty()
          .allSatisfy(
              p ->
                  assertThat(p.words() + p.need().source())
                      .doesNotContainIgnoringCase("compliant")
                      .doesNotContainIgnoringCase("permitted")
                      .doesNotContainIgnoringCase("fit to travel"));
    }
  }
}
