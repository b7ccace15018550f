// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Species;
import opercle.analysis.water.Emerson1975;

/**
 * Whether a load may travel, and why: the answer to a {@link LoadPlanRequest}.
 *
 * @param request what was asked
 * @param verdict the advice
 * @param reasons everything that was looked at, in the order of {@link Topic}
 * @param outlook the figures behind it
 * @param largestGoKg the largest load of the same mixture that would be GO; empty where none is
 * @param largestWithCareKg the largest that would at least be GO_WITH_CARE
 * @param remedies single changes that better the verdict; empty when it is GO or when none does
 * @param notes what the figures stand on, and where science and practice differ
 * @param cautions for the people who load and drive
 */
public record LoadPlan(
    LoadPlanRequest request,
    Verdict verdict,
    List<Reason> reasons,
    Outlook outlook,
    OptionalDouble largestGoKg,
    OptionalDouble largestWithCareKg,
    List<Remedy> remedies,
    List<String> notes,
    List<String> cautions) {

  /** Oxygen per 100 kg of carp at 10 °C, L/min (<i>common practice</i>, no source). */
  public static final double TRADE_CARP_L_PER_MIN_PER_100_KG = 1.0;

  /** Oxygen per 100 kg of trout at 10 °C, L/min: a trade figure that was read. */
  public static final double TRADE_TROUT_L_PER_MIN_PER_100_KG = 2.0;

  private static final double ARRIVAL_PH = 8.0;

  public LoadPlan {
    reasons = List.copyOf(reasons);
    remedies = List.copyOf(remedies);
    notes = List.copyOf(notes);
    cautions = List.copyOf(cautions);
  }

  /**
   * Works the plan out. Other loads and tanks are tried as well, so it takes a fraction of a second
   * for an afternoon's trip and some two seconds for three days.
   */
  public static LoadPlan of(LoadPlanRequest request) {
    Outlook outlook = Trip.outlook(request);
    List<Reason> reasons = Judgement.of(request, outlook);
    Verdict verdict = Judgement.verdict(reasons);
    Alternatives alternatives = new Alternatives(request);
    return new LoadPlan(
        request,
        verdict,
        reasons,
        outlook,
        alternatives.largestLoadKg(Verdict.GO),
        alternatives.largestLoadKg(Verdict.GO_WITH_CARE),
        alternatives.remedies(verdict),
        notes(request, outlook),
        cautions(request));
  }

  /** What the trade's rule of thumb would set for this load, L/min; it knows no temperature. */
  public double tradeFlowLPerMin() {
    return tradeFlow(request);
  }

  private static double tradeFlow(LoadPlanRequest request) {
    return request.load().batches().stream()
        .mapToDouble(
            b ->
                0.01
                    * b.kg()
                    * (b.species().group() == Species.Group.TROUT
                        ? TRADE_TROUT_L_PER_MIN_PER_100_KG
                        : TRADE_CARP_L_PER_MIN_PER_100_KG))
        .sum();
  }

  private static String measured(MeasuredRate rate) {
    return String.format(
        Locale.ROOT,
        "What settled fish breathe, as %s measured it: %.0f mg of oxygen an hour for each kg, likely"
            + " between %.0f and %.0f, at %.1f °C. The published curve below only carries it to"
            + " other temperatures.",
        rate.trips() == 1
            ? "one of the farm's own trips"
            : rate.trips() + " of the farm's own trips",
        rate.mgPerKgPerHour().likely(),
        rate.mgPerKgPerHour().low(),
        rate.mgPerKgPerHour().high(),
        rate.temperatureC());
  }

  private static List<String> notes(LoadPlanRequest request, Outlook outlook) {
    List<String> notes = new ArrayList<>();
    request.measuredRate().ifPresent(rate -> notes.add(measured(rate)));
    for (Batch batch : request.load().batches()) {
      notes.add(
          "%s, what settled fish breathe: %s."
              .formatted(
                  batch.species().commonName(), batch.routine(request.temperatureC()).evidence()));
    }
    notes.addAll(request.load().notes(request.temperatureC()));
    notes.addAll(request.load().notes(request.endTemperatureC()));
    notes.add("Handling: %s.".formatted(request.handling().evidence()));
    notes.add("Food and ammonia: %s.".formatted(request.feeding().evidence()));
    notes.add(
        String.format(
            Locale.ROOT,
            "Air alone gives the water %.1f mg/L here, which is 100 %%. The trade says near 13 at 5 °C and 9 at"
                + " 20 °C; the published table says 12.77 and 9.09.",
            outlook.airSaturationMgPerL()));
    if (request.gas() == Gas.OXYGEN) {
      notes.add(tradeRule(request, outlook));
    }
    notes.add(unionised(request, outlook));
    notes.add(
        "The tank is taken to stand at %s mg/L when the fish go in, parked if the gas stops."
            .formatted(Say.number(outlook.targetMgPerL())));
    return notes.stream().distinct().toList();
  }

  /** Carbon dioxide keeps pH down on the way; the poisonous share comes when it leaves. */
  private static String unionised(LoadPlanRequest request, Outlook outlook) {
    double share = Emerson1975.fraction(ARRIVAL_PH, request.endTemperatureC(), 0.0);
    return "If carbon dioxide leaves at arrival and pH goes to 8, %s mg/L of the ammonia, as nitrogen, is in its poisonous form; harm may begin at 0.05 (extension sheet FA16, read). Mix the waters slowly."
        .formatted(Say.number(share * outlook.tanMgPerL().likely()));
  }

  private static String tradeRule(LoadPlanRequest request, Outlook outlook) {
    double rule = tradeFlow(request);
    double needed = outlook.flowNowLPerMin().likely();
    String compared =
        rule < needed
            ? " It is a rule for settled fish: fresh ones need two to three times the resting flow."
            : " Through this diffuser that is more than the plan's own figure.";
    return "The trade's rule (1 L/min for 100 kg of carp, 2 for trout, at 10 °C; common practice)"
        + " would set %s L/min.".formatted(Say.number(rule))
        + compared;
  }

  private static List<String> cautions(LoadPlanRequest request) {
    List<String> cautions = new ArrayList<>();
    if (request.gas() == Gas.OXYGEN) {
      cautions.add(
          "Oxygen feeds fire: no oil or grease on fittings, no flame, air the cab and the hold,"
              + " secure the cylinders. The supplier's data sheet and local rules come first.");
    } else {
      cautions.add(
          "Electricity by water: a residual-current device, drip loops, and a blower above the"
              + " water line. Local codes come first.");
    }
    cautions.add(
        String.format(
            Locale.ROOT,
            "Weight: water and fish alone are about %.0f kg. Stay within the rated load of vehicle,"
                + " trailer and lifting gear; drain before lifting by hand.",
            request.waterLitres() + request.load().kg()));
    cautions.add(
        "Moving live fish needs consent and health papers in most places: have them before"
            + " loading.");
    cautions.add(
        "This is an estimate. Look at the fish and measure the water before you leave and at every"
            + " stop.");
    return cautions;
  }
}
