// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * All that was recorded, as it stands. Of an entry that was corrected the newest correction stands,
 * whichever version it names; the others stay in its {@link Standing#versions}. Immutable.
 */
public final class Records {

  private final List<Recorded> all;
  private final Map<String, String> firstOf = new LinkedHashMap<>();
  private final Map<String, Standing<?>> standing = new LinkedHashMap<>();
  private volatile @Nullable Tracing tracing;

  private Records(List<Recorded> all) {
    this.all = List.copyOf(all);
    Map<String, List<Recorded>> versions = new LinkedHashMap<>();
    for (Recorded recorded : this.all) {
      String first =
          recorded
              .correction()
              .map(c -> firstOf.getOrDefault(c.corrects(), recorded.id()))
              .orElse(recorded.id());
      firstOf.put(recorded.id(), first);
      versions.computeIfAbsent(first, id -> new ArrayList<>()).add(recorded);
    }
    versions.forEach(
        (id, of) -> {
          Recorded last = of.get(of.size() - 1);
          boolean withdrawn = last.correction().map(Recorded.Correction::withdraws).orElse(false);
          standing.put(id, new Standing<>(id, last.entry(), of, withdrawn));
        });
  }

  /**
   * The records.
   *
   * @param all in the order of recording
   */
  public static Records of(List<Recorded> all) {
    return new Records(all);
  }

  /** The books of movements, made once: these records never change. */
  Tracing tracing(Function<Records, Tracing> maker) {
    @Nullable Tracing made = tracing;
    if (made == null) {
      made = maker.apply(this);
      tracing = made;
    }
    return made;
  }

  /** Every version of everything, in the order of recording. */
  public List<Recorded> all() {
    return all;
  }

  /** What stands of one kind, in the order of recording; without what was withdrawn. */
  public <T extends Entry> List<Standing<T>> standing(Class<T> type) {
    return withWithdrawn(type).stream().filter(s -> !s.withdrawn()).toList();
  }

  /** The same with what was withdrawn. */
  public <T extends Entry> List<Standing<T>> withWithdrawn(Class<T> type) {
    return standing.values().stream().flatMap(s -> as(type, s).stream()).toList();
  }

  /** What stands under the id of any of its versions, also where it was withdrawn. */
  public <T extends Entry> Optional<Standing<T>> find(Class<T> type, String id) {
    return Optional.ofNullable(firstOf.get(id)).map(standing::get).flatMap(s -> as(type, s));
  }

  private static <T extends Entry> Optional<Standing<T>> as(Class<T> type, Standing<?> s) {
    return type.isInstance(s.entry())
        ? Optional.of(new Standing<>(s.id(), type.cast(s.entry()), s.versions(), s.withdrawn()))
        : Optional.empty();
  }

  /** In a few words what an id names; the id itself where it names nothing. */
  public String title(String id) {
    return find(Entry.class, id).map(s -> s.entry().title()).orElse(id);
  }

  /**
   * In a few words what an id named when something was recorded, and what became of that since.
   *
   * @param number of the entry that names it, in the order of recording
   */
  String titleAsOf(String id, long number) {
    return find(Entry.class, id).map(s -> titleAsOf(s, number)).orElse(id);
  }

  private static String titleAsOf(Standing<Entry> standing, long number) {
    Recorded then = standing.versions().get(0);
    for (Recorded version : standing.versions()) {
      if (version.number() <= number) {
        then = version;
      }
    }
    String was = then.entry().title();
    if (then.equals(standing.versions().get(standing.versions().size() - 1))) {
      return was;
    }
    String is = standing.entry().title();
    return standing.withdrawn()
        ? was + " (withdrawn since)"
        : was.equals(is) ? was + " (corrected since)" : was + " (corrected since to " + is + ")";
  }

  /** The name of a water. */
  public String water(String id) {
    return find(Water.class, id).map(s -> s.entry().name()).orElse(id);
  }

  /** The rule about health checks that the keeper set last, or the usual one. */
  public HealthRule healthRule() {
    List<Standing<HealthRule>> rules = standing(HealthRule.class);
    return rules.isEmpty() ? HealthRule.USUAL : rules.get(rules.size() - 1).entry();
  }

  /** Whether a health check's water is a farm's, as far as is known. */
  boolean isFarm(HealthCheck check) {
    return find(Water.class, check.water()).map(w -> w.entry().type().isFarm()).orElse(false);
  }

  /** Titles of the entries that stand and name this one. */
  private List<String> naming(String id) {
    Optional<String> root = Optional.ofNullable(firstOf.get(id));
    return standing.values().stream()
        .filter(s -> !s.withdrawn())
        .filter(
            s ->
                s.entry().named().stream()
                    .anyMatch(n -> Optional.ofNullable(firstOf.get(n.id())).equals(root)))
        .map(s -> s.entry().title())
        .toList();
  }

  /**
   * Why an entry cannot be recorded beside these; empty: it can. Papers that are missing are no
   * reason ({@link MovementCheck} prompts for them), names of nothing are.
   */
  public Optional<String> refusal(Recorded recorded) {
    if (recorded.correction().isPresent()) {
      String corrects = recorded.correction().get().corrects();
      Optional<Standing<Entry>> wrong = find(Entry.class, corrects);
      if (wrong.isEmpty()) {
        return Optional.of("What this puts right is not in the records; load the page again");
      }
      if (wrong.get().entry().kind() != recorded.entry().kind()) {
        return Optional.of(
            "A %s cannot take the place of a %s"
                .formatted(recorded.entry().kind().words(), wrong.get().entry().kind().words()));
      }
    }
    if (recorded.correction().map(c -> c.withdraws()).orElse(false)) {
      List<String> naming = naming(recorded.correction().get().corrects());
      if (!naming.isEmpty()) {
        return Optional.of(
            "%s is still named by what stands (%d, for instance %s); correct that first"
                .formatted(
                    title(recorded.correction().get().corrects()), naming.size(), naming.get(0)));
      }
    }
    return recorded.entry().named().stream()
        .filter(n -> find(n.kind().type(), n.id()).isEmpty())
        .map(
            n ->
                "The %s that this names is not in the records; choose another"
                    .formatted(n.kind().words()))
        .findFirst();
  }
}
