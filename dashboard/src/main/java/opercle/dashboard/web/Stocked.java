// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank;

/** Fish in words, with their weight as pages know to convert it. */
final class Stocked {

  private Stocked() {}

  /** To the gram. */
  static String kg(double kg) {
    String digits = String.format(Locale.ROOT, "%.3f", kg);
    return digits.replaceAll("\\.?0+$", "") + " kg";
  }

  /** What went in, for instance {@code 140 kg of common carp (60 fish)}. */
  static String load(List<Tank.Load> load) {
    return load.stream()
        .map(
            l ->
                kg(l.kg())
                    + " of "
                    + l.species().commonName()
                    + (l.count().isPresent() ? " (%d fish)".formatted(l.count().getAsInt()) : ""))
        .collect(Collectors.joining(", "));
  }
}
