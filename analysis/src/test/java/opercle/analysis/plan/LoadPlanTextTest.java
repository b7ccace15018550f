// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A plan as people and as programs read it. */
class LoadPlanTextTest {

  private static final LoadPlan HEAVY =
      LoadPlan.of(
          LoadPlanRequest.of(FishLoad.of(Batch.of(Species.COMMON_CARP, 300.0, 100)), 500.0)
              .temperatureC(12.0)
              .minutes(240.0)
              .supply(Gas.OXYGEN, Diffuser.POROUS_HOSE)
              .cylinders(Cylinders.one(10.0, 200.0))
              .build());

  @Test
  void text_beginsWithTheVerdictAndWhatWasAsked() {
    List<String> lines = LoadPlanText.of(HEAVY).lines().toList();

    assertThat(lines.get(0)).isEqualTo("DO NOT GO");
    assertThat(lines.get(1)).startsWith("300 kg of common carp of 3.0 kg each in 500 L at 12.0 °C");
  }

  @Test
  void text_tellsWhatSpeaksAgainstFirst_andTheLimitsSource() {
    String text = LoadPlanText.of(HEAVY);

    assertThat(text.indexOf("Against it")).isPositive().isLessThan(text.indexOf("In order"));
    assertThat(text).contains("Limit: ").contains("(common").contains("Oxygen feeds fire");
  }

  /** Each reason, also one that speaks for going, has its source; the equipment is said. */
  @Test
  void text_givesEveryReasonItsSource_andSaysTheEquipment() {
    String flat = LoadPlanText.of(HEAVY).replaceAll("\\s+", " ");

    assertThat(HEAVY.reasons())
        .allSatisfy(
            r -> assertThat(flat).contains(r.sentence()).contains("Limit: " + r.evidence() + "."));
    assertThat(flat).contains("1 × 10.0 L at 200 bar, 50 bar to stay in reserve.");
  }

  /** A handful of fish: nothing is 0.00, and what never ends is not said in numbers. */
  @Test
  void text_ofATinyLoad_readsLikeASentence() {
    String text =
        LoadPlanText.of(
            LoadPlan.of(
                LoadPlanRequest.of(FishLoad.of(Batch.ofKg(Species.ROACH, 0.05)), 500.0)
                    .minutes(30.0)
                    .cylinders(Cylinders.one(10.0, 200.0))
                    .build()));
    String flat = text.replaceAll("\\s+", " ");

    assertThat(flat)
        .contains("the surface alone should keep oxygen above the critical floor")
        .contains("at the end")
        .doesNotContain("0.00 ")
        .doesNotContain("0.00,")
        .doesNotContain("after an hour")
        .doesNotContain("no end min");
  }

  @ParameterizedTest
  @ValueSource(ints = {40, 60, 80, 120})
  void text_keepsToItsWidth(int width) {
    assertThat(LoadPlanText.of(HEAVY, width).lines())
        .allSatisfy(l -> assertThat(l.length()).isLessThanOrEqualTo(width));
  }

  @Test
  void text_narrowerThanFortyColumns_isRefused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> LoadPlanText.of(HEAVY, 20))
        .withMessageContaining("40")
        .withMessageContaining("20");
  }

  @Test
  void text_inAnyLocale_hasDecimalPoints() {
    Locale before = Locale.getDefault();
    try {
      Locale.setDefault(Locale.GERMANY);
      assertThat(LoadPlanText.of(LoadPlan.of(HEAVY.request()))).isEqualTo(LoadPlanText.of(HEAVY));
    } finally {
      Locale.setDefault(before);
    }
  }

  @Test
  void tree_holdsOnlyWhatJsonHas() {
    assertThat(problems("", LoadPlanTree.of(HEAVY))).isEmpty();
    assertThat(LoadPlanTree.of(HEAVY).keySet()).startsWith("type", "verdict", "request", "reasons");
  }

  @Test
  void tree_writesAnEndlessFlowAsNull() {
    LoadPlan air =
        LoadPlan.of(
            LoadPlanRequest.of(FishLoad.of(Batch.ofKg(Species.RAINBOW_TROUT, 50.0)), 500.0)
                .supply(Gas.AIR, Diffuser.AIR_STONE)
                .temperatureC(28.0)
                .build());

    assertThat(air.outlook().flowNowLPerMin())
        .extracting(Band::likely)
        .isEqualTo(Double.POSITIVE_INFINITY);
    assertThat(problems("", LoadPlanTree.of(air))).isEmpty();
    assertThat(LoadPlanText.of(air)).contains("No flow of air holds");
  }

  /** Paths of values that a JSON writer could not take. */
  private static List<String> problems(String path, @Nullable Object value) {
    if (value instanceof Map<?, ?> map) {
      return map.entrySet().stream()
          .flatMap(e -> problems(path + "/" + e.getKey(), e.getValue()).stream())
          .toList();
    }
    if (value instanceof List<?> list) {
      return list.stream().flatMap(v -> problems(path + "/-", v).stream()).toList();
    }
    boolean fine =
        value == null
            || value instanceof String
            || value instanceof Boolean
            || value instanceof Integer
            || (value instanceof Double d && Double.isFinite(d));
    return fine ? List.of() : List.of(path + " = " + value);
  }
}
