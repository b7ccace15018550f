// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/** The probes of one tank, by quantity, in the order in which they first spoke. Not thread-safe. */
final class Probes {

  /** More probes for one quantity than this are a fault, and are not watched. */
  static final int MOST_PER_QUANTITY = 8;

  private final Map<Quantity, List<Probe>> byQuantity = new EnumMap<>(Quantity.class);
  private final List<Probe> all = new ArrayList<>();
  private final List<OxygenProbe> oxygen = new ArrayList<>();
  private final List<TemperatureProbe> temperatures = new ArrayList<>();
  private final List<MeterProbe> flows = new ArrayList<>();
  private final List<MeterProbe> pressures = new ArrayList<>();

  /** The probe of that name, new if it has not spoken before; null where there are too many. */
  @Nullable Probe get(Quantity quantity, String name) {
    List<Probe> probes = byQuantity.computeIfAbsent(quantity, q -> new ArrayList<>(2));
    for (int i = 0; i < probes.size(); i++) {
      if (probes.get(i).name.equals(name)) {
        return probes.get(i);
      }
    }
    if (probes.size() == MOST_PER_QUANTITY) {
      return null;
    }
    Probe probe = create(quantity, name);
    probes.add(probe);
    all.add(probe);
    return probe;
  }

  private Probe create(Quantity quantity, String name) {
    switch (quantity) {
      case OXYGEN, OXYGEN_SATURATION -> {
        OxygenProbe probe = new OxygenProbe(quantity, name);
        oxygen.add(probe);
        return probe;
      }
      case TEMPERATURE -> {
        TemperatureProbe probe = new TemperatureProbe(name);
        temperatures.add(probe);
        return probe;
      }
      case GAS_FLOW, LINE_PRESSURE -> {
        MeterProbe probe = new MeterProbe(quantity, name);
        (quantity == Quantity.GAS_FLOW ? flows : pressures).add(probe);
        return probe;
      }
      default -> {
        return new Probe(quantity, name);
      }
    }
  }

  List<Probe> all() {
    return all;
  }

  /** Forgets probes as if they had never spoken. */
  void forget(Collection<Probe> gone) {
    byQuantity.values().forEach(probes -> probes.removeAll(gone));
    all.removeAll(gone);
    oxygen.removeAll(gone);
    temperatures.removeAll(gone);
    flows.removeAll(gone);
    pressures.removeAll(gone);
  }

  /** Whether any probe has ever told oxygen. */
  boolean haveToldOxygen() {
    return !oxygen.isEmpty();
  }

  List<OxygenProbe> oxygen() {
    return oxygen;
  }

  List<TemperatureProbe> temperatures() {
    return temperatures;
  }

  List<MeterProbe> flows() {
    return flows;
  }

  List<MeterProbe> pressures() {
    return pressures;
  }

  /** Whether any of these meters says that its line has stopped, or holds no pressure. */
  static boolean anyStopped(List<MeterProbe> meters) {
    for (int i = 0; i < meters.size(); i++) {
      if (meters.get(i).meter.hasStopped()) {
        return true;
      }
    }
    return false;
  }

  /** Whether any of these meters repeats itself, and so says nothing of the gas. */
  static boolean anyStuck(List<MeterProbe> meters) {
    for (int i = 0; i < meters.size(); i++) {
      if (meters.get(i).isStuck()) {
        return true;
      }
    }
    return false;
  }

  List<Probe> of(Quantity quantity) {
    return byQuantity.getOrDefault(quantity, List.of());
  }

  /** The newest value of a quantity, from whichever probe, where it may stand for the present. */
  OptionalDouble fresh(Quantity quantity, long now) {
    @Nullable Probe newest = newest(quantity);
    return newest != null && newest.rhythm.isFresh(now)
        ? OptionalDouble.of(newest.value)
        : OptionalDouble.empty();
  }

  /** The newest value of a quantity that changes slowly, however old. */
  OptionalDouble lastKnown(Quantity quantity) {
    @Nullable Probe newest = newest(quantity);
    return newest == null ? OptionalDouble.empty() : OptionalDouble.of(newest.value);
  }

  /** The probe of a quantity that spoke last; null where none has. */
  @Nullable Probe newest(Quantity quantity) {
    @Nullable Probe newest = null;
    for (Probe p : of(quantity)) {
      if (p.rhythm.hasSpoken() && (newest == null || p.rhythm.last() > newest.rhythm.last())) {
        newest = p;
      }
    }
    return newest;
  }

  /**
   * The oxygen probe that speaks for the tank: of those with a fresh value, the trusted before the
   * doubtful, and of these the lowest, for it is the one to fear; null where none has.
   */
  @Nullable OxygenProbe speaking(long now) {
    @Nullable OxygenProbe best = null;
    for (int i = 0; i < oxygen.size(); i++) {
      OxygenProbe p = oxygen.get(i);
      if (counts(p, now) && (best == null || speaksBefore(p, best))) {
        best = p;
      }
    }
    return best;
  }

  private static boolean speaksBefore(OxygenProbe p, OxygenProbe other) {
    boolean trusted = p.doubt() == ProbeDoubt.NONE;
    boolean otherTrusted = other.doubt() == ProbeDoubt.NONE;
    return trusted == otherTrusted ? p.trend.newest() < other.trend.newest() : trusted;
  }

  /** Whether it has a fresh value of its own. */
  boolean counts(OxygenProbe p, long now) {
    return p.trend.samples() > 0 && p.rhythm.isFresh(now) && !repeatsFreshProbe(p, now);
  }

  /** The oxygen probe heard last, however long ago; null where none has spoken. */
  @Nullable OxygenProbe lastSpeaking() {
    @Nullable OxygenProbe latest = null;
    for (OxygenProbe p : oxygen) {
      if (p.trend.samples() > 0 && (latest == null || p.rhythm.last() > latest.rhythm.last())) {
        latest = p;
      }
    }
    return latest;
  }

  /** A percent reading beside the same probe's fresh mg/L reading says nothing new. */
  boolean repeatsFreshProbe(Probe p, long now) {
    if (p.quantity == Quantity.OXYGEN_SATURATION) {
      for (Probe other : of(Quantity.OXYGEN)) {
        if (other.name.equals(p.name) && other.rhythm.isFresh(now)) {
          return true;
        }
      }
    }
    return false;
  }

  /** One probe as a value; the last four are of meters, oxygen and temperature probes only. */
  record Snapshot(
      Quantity quantity,
      String name,
      Rhythm rhythm,
      double value,
      boolean silent,
      @Nullable GasMeter meter,
      @Nullable Repeats repeats,
      OxygenProbe.@Nullable Snapshot oxygen,
      TemperatureProbe.@Nullable Held temperature) {}

  List<Snapshot> snapshot() {
    List<Snapshot> saved = new ArrayList<>(all.size());
    for (Probe p : all) {
      saved.add(
          new Snapshot(
              p.quantity,
              p.name,
              p.rhythm,
              p.value,
              p.silent,
              p instanceof MeterProbe m ? m.meter : null,
              p instanceof MeterProbe m ? m.repeats : null,
              p instanceof OxygenProbe o ? o.snapshot() : null,
              p instanceof TemperatureProbe t ? t.held() : null));
    }
    return List.copyOf(saved);
  }

  void restore(List<Snapshot> saved) {
    for (Snapshot s : saved) {
      @Nullable Probe p = get(s.quantity(), s.name());
      if (p != null) {
        p.rhythm = s.rhythm();
        p.value = s.value();
        p.silent = s.silent();
        if (p instanceof MeterProbe m && s.meter() != null) {
          m.meter = s.meter();
        }
        if (p instanceof MeterProbe m && s.repeats() != null) {
          m.repeats = s.repeats();
        }
        if (p instanceof OxygenProbe o && s.oxygen() != null) {
          o.restore(s.oxygen());
        }
        if (p instanceof TemperatureProbe t && s.temperature() != null) {
          t.restore(s.temperature());
        }
      }
    }
  }
}
