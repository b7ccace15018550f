// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.TankThen.Version;
import opercle.analysis.records.Records;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.Withdrawals;
import opercle.analysis.stock.Species;

/**
 * Fish that were taken out of one tank and, by hand and without a word where from, put into
 * another: perhaps the same ones. Where a withdrawal period runs for the first tank, that they may
 * have come from there is worth an entry, so that the words about the medicine go with them; it
 * says <em>perhaps</em>, and whoever knows better withdraws it. Pure.
 */
public final class HandMoves {

  /** Fish that are put in later than this after others were taken out are others (ours). */
  public static final Duration WITHIN = Duration.ofHours(24);

  private HandMoves() {}

  /**
   * What may have gone where with the newest version of the farm.
   *
   * @param versions of the farm, any order; the last {@link #WITHIN} of them are looked at
   * @param records what was given to the fish of each tank
   * @param day periods that run on it count
   */
  public static List<TankEntry.Moved> of(List<Version> versions, Records records, LocalDate day) {
    List<Version> inOrder = versions.stream().sorted(Comparator.comparing(Version::since)).toList();
    List<TankEntry.Moved> perhaps = new ArrayList<>();
    if (inOrder.size() < 2) {
      return perhaps;
    }
    Version newest = inOrder.get(inOrder.size() - 1);
    Farm before = inOrder.get(inOrder.size() - 2).farm();
    for (Tank into : newest.farm().tanks()) {
      for (Tank.Load load : into.loads()) {
        double came = change(before, newest.farm(), into.id(), load.species());
        if (came > 0.0 && !isExplained(before, newest.farm(), load.species(), -1)) {
          from(inOrder, newest, into, load.species(), came, records, day).ifPresent(perhaps::add);
        }
      }
    }
    return perhaps;
  }

  /** The last tank that such fish were taken out of, if a period runs there. */
  private static Optional<TankEntry.Moved> from(
      List<Version> inOrder,
      Version newest,
      Tank into,
      Species species,
      double came,
      Records records,
      LocalDate day) {
    for (int i = inOrder.size() - 2; i > 0; i--) {
      Version then = inOrder.get(i);
      Farm earlier = inOrder.get(i - 1).farm();
      if (then.since().isBefore(newest.since().minus(WITHIN))) {
        break;
      }
      for (Tank out : earlier.tanks()) {
        double went = -change(earlier, then.farm(), out.id(), species);
        if (went > 0.0
            && !out.id().equals(into.id())
            && !isExplained(earlier, then.farm(), species, 1)
            && !Withdrawals.running(records, out.id(), day).isEmpty()) {
          return Optional.of(moved(out, into, species, Math.min(went, came), newest.since()));
        }
      }
    }
    return Optional.empty();
  }

  private static TankEntry.Moved moved(
      Tank out, Tank into, Species species, double kg, Instant time) {
    return new TankEntry.Moved(
        new TankEntry.Where(out.id(), Optional.of(out.name()), time),
        into.id(),
        Optional.of(into.name()),
        Optional.of(species.commonName()),
        OptionalDouble.of(kg),
        Optional.of(
            "Perhaps: such fish were taken out there within a day, and put in here without a word"
                + " where from. Withdraw this if they are others."));
  }

  /** Whether another tank lost (-1) or got (1) such fish in the same step: that was one move. */
  private static boolean isExplained(Farm before, Farm after, Species species, int sign) {
    return before.tanks().stream()
        .anyMatch(t -> sign * change(before, after, t.id(), species) > 0.0);
  }

  private static double change(Farm before, Farm after, String tank, Species species) {
    return kg(after, tank, species) - kg(before, tank, species);
  }

  private static double kg(Farm farm, String tank, Species species) {
    return farm.tank(tank).map(t -> Stocking.kg(t.loads(), species)).orElse(0.0);
  }
}
