// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * What one line of the records says. Entries name others by the id under which those were first
 * recorded. All are immutable; what is out of its limits is refused by its constructor, naming the
 * field, the value and the limit.
 */
public sealed interface Entry
    permits Water, Party, Permit, HealthCheck, HealthRule, RetentionRule, Movement, TankEntry {

  /** Which kind of entry it is. */
  Kind kind();

  /** The other entries that it names, each with the kind that it must be of. */
  List<Named> named();

  /** In a few words, for a list or a prompt. */
  String title();

  /** The kinds of entry, by the words that the farm book and the interface use. */
  enum Kind {
    WATER("water", Water.class),
    PARTY("party", Party.class),
    PERMIT("permit", Permit.class),
    HEALTH_CHECK("health-check", HealthCheck.class),
    HEALTH_RULE("health-rule", HealthRule.class),
    RETENTION_RULE("retention-rule", RetentionRule.class),
    MOVEMENT("movement", Movement.class),
    FEED("feed", TankEntry.Feed.class),
    WATER_CHANGE("water-change", TankEntry.WaterChange.class),
    SALT("salt", TankEntry.Salt.class),
    TOP_UP("top-up", TankEntry.TopUp.class),
    WATER_TEST("water-test", TankEntry.WaterTest.class),
    TREATMENT("treatment", TankEntry.Treatment.class),
    CLEANING("cleaning", TankEntry.Cleaning.class),
    HAND_CHECK("hand-check", TankEntry.HandCheck.class),
    MOVED("moved", TankEntry.Moved.class);

    private final String id;
    private final Class<? extends Entry> type;

    Kind(String id, Class<? extends Entry> type) {
      this.id = id;
      this.type = type;
    }

    /** The word. */
    public String id() {
      return id;
    }

    /** The word as a person reads it. */
    public String words() {
      return id.replace('-', ' ');
    }

    /** Whether it says what was done or measured at a tank. */
    public boolean isOfTank() {
      return TankEntry.class.isAssignableFrom(type);
    }

    Class<? extends Entry> type() {
      return type;
    }

    /** By its word. */
    public static Optional<Kind> of(String id) {
      return Stream.of(values()).filter(kind -> kind.id.equals(id)).findFirst();
    }
  }

  /**
   * Another entry that an entry names.
   *
   * @param field in which
   * @param kind of which kind it must be
   * @param id under which it was first recorded
   */
  record Named(String field, Kind kind, String id) {}
}
