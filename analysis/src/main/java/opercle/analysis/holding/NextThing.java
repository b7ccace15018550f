// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingNow.Basis;
import opercle.analysis.holding.HoldingNow.Density;

/** What a keeper would do next at a holding tank, most needed first, in whole sentences. */
public final class NextThing {

  private static final double SOON_DAYS = 2.0;

  private NextThing() {}

  /**
   * What to do.
   *
   * @return at least one sentence
   */
  public static List<String> of(Tank tank, HoldingNow now) {
    List<String> next = new ArrayList<>();
    Optional<WasteJudgement> waste = WasteJudgement.of(now, false);
    waste.ifPresent(w -> next.add(change(tank, now, w)));
    if (now.density() == Density.EXTREME) {
      next.add("Far more fish than such water is asked to hold: take some out.");
    }
    double left = now.limits().days() - now.daysHeld().orElse(0.0);
    if (now.daysHeld().isPresent() && left <= 0.0) {
      next.add("Held longer than the limit: plan to move these fish on, or give them more room.");
    } else if (now.daysHeld().isPresent() && left <= SOON_DAYS) {
      next.add("Plan where these fish go: the limit is reached in %.1f days.".formatted(left));
    }
    boolean phMissing = now.ph().isEmpty() || now.ph().get().basis() == Basis.SET;
    boolean old =
        now.tan().isPresent()
            && now.tan().get().basis() != Basis.MEASURED
            && !now.tan().get().since().plus(WasteJudgement.LEANT_ON).isAfter(now.at());
    if (old) {
      next.add("Test ammonia and pH: what is reckoned goes back more than a week.");
    } else if (phMissing && now.tan().isPresent()) {
      next.add("Test pH, so that the poisonous part of the ammonia is known.");
    }
    if (now.daysHeld().isEmpty()) {
      next.add("Write down since when these fish are here.");
    }
    if (next.isEmpty()) {
      next.add("Nothing now.");
    }
    return List.copyOf(next);
  }

  private static String change(Tank tank, HoldingNow now, WasteJudgement waste) {
    // Un-ionised goes with total ammonia, as long as the pH stays.
    boolean ammonia = waste.fact().startsWith("poisonous");
    double is =
        ammonia
            ? now.ammonia().orElseThrow().band().likely()
            : now.carbonDioxide().orElseThrow().band().likely();
    double limit = ammonia ? now.limits().ammoniaMgPerL() : now.limits().carbonDioxideMgPerL();
    OptionalDouble litres =
        WaterExchange.litresToReach(is, WasteJudgement.DEADBAND * limit, 0.0, tank.waterLitres());
    String amount =
        litres.isPresent()
            ? String.format(
                Locale.ROOT, " (about %.0f L)", 10.0 * Math.ceil(litres.getAsDouble() / 10.0))
            : "";
    return "Stop feeding and change part of the water%s, slowly: %s."
        .formatted(amount, waste.fact());
  }
}
