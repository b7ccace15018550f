// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Entries as named fields and back: the one form of the farm book and of the interface. Text,
 * numbers and lists of text; days as 2026-11-20, times in UTC; what is not known is left out.
 */
public final class EntryFields {

  private EntryFields() {}

  /** The fields of an entry, in their order. */
  public static Map<String, Object> of(Entry entry) {
    Map<String, Object> fields = new LinkedHashMap<>();
    if (entry instanceof Water w) {
      fields.put("name", w.name());
      fields.put("type", w.type().id());
      put(fields, "site", w.site());
      put(fields, "place", w.place());
      put(fields, "holder", w.holder());
      put(fields, "tank", w.tank());
      fields.put("connection", w.connection().id());
      put(fields, "note", w.note());
    } else if (entry instanceof Party p) {
      fields.put("name", p.name());
      put(fields, "contact", p.contact());
      put(fields, "note", p.note());
    } else if (entry instanceof Permit p) {
      fields.put("type", p.type().id());
      fields.put("reference", p.reference());
      put(fields, "water", p.water());
      put(fields, "party", p.party());
      put(fields, "from", p.from());
      put(fields, "until", p.until());
      put(fields, "seen", p.seen());
      put(fields, "note", p.note());
    } else if (entry instanceof HealthCheck c) {
      fields.put("reference", c.reference());
      fields.put("water", c.water());
      fields.put("species", c.species());
      fields.put("sampled", c.sampled().toString());
      put(fields, "consultant", c.consultant());
      put(fields, "until", c.until());
      put(fields, "note", c.note());
    } else if (entry instanceof HealthRule r) {
      fields.put("farmedTroutAndSalmonMonths", r.farmedTroutAndSalmonMonths());
      fields.put("otherMonths", r.otherMonths());
    } else if (entry instanceof RetentionRule r) {
      fields.put("years", r.years());
    } else if (entry instanceof Movement m) {
      movement(fields, m);
    } else if (entry instanceof TankEntry t) {
      TankEntryFields.put(fields, t);
    }
    return fields;
  }

  private static void movement(Map<String, Object> fields, Movement m) {
    fields.put("species", m.species());
    m.count().ifPresent(n -> fields.put("count", n));
    m.kg().ifPresent(kg -> fields.put("kg", kg));
    put(fields, "from", m.from());
    put(fields, "to", m.to());
    fields.put("departs", m.departs().toString());
    fields.put("arrives", m.arrives().toString());
    m.died().ifPresent(n -> fields.put("died", n));
    put(fields, "carrier", m.means().carrier());
    put(fields, "vehicle", m.means().vehicle());
    m.means().distanceKm().ifPresent(km -> fields.put("distanceKm", km));
    put(fields, "supplier", m.papers().supplier());
    put(fields, "receiver", m.papers().receiver());
    some(fields, "permits", m.papers().permits());
    some(fields, "healthChecks", m.papers().healthChecks());
    put(fields, "consignmentNote", m.papers().consignmentNote());
    put(fields, "advanceNotice", m.papers().advanceNotice());
    put(fields, "disinfection", m.disinfection());
    put(fields, "waterChanged", m.waterChanged());
    put(fields, "note", m.note());
  }

  static void put(Map<String, Object> fields, String name, Optional<?> value) {
    value.ifPresent(v -> fields.put(name, v.toString()));
  }

  private static void some(Map<String, Object> fields, String name, List<String> ids) {
    if (!ids.isEmpty()) {
      fields.put(name, ids);
    }
  }

  /**
   * The entry that fields describe.
   *
   * @param fields text, numbers and lists of text by name
   * @throws IllegalArgumentException naming the field, its value and what it must be
   */
  public static Entry read(Entry.Kind kind, Map<String, ?> fields) {
    FieldReader in = new FieldReader(kind, fields);
    Entry entry =
        switch (kind) {
          case WATER ->
              new Water(
                  in.text("name"),
                  in.word("type", Water.Type::of),
                  in.perhaps("site"),
                  in.perhaps("place"),
                  in.perhaps("holder"),
                  in.perhaps("tank"),
                  in.has("connection")
                      ? in.word("connection", Water.Connection::of)
                      : Water.Connection.NOT_SAID,
                  in.perhaps("note"));
          case PARTY -> new Party(in.text("name"), in.perhaps("contact"), in.perhaps("note"));
          case PERMIT ->
              new Permit(
                  in.word("type", Permit.Type::of),
                  in.text("reference"),
                  in.perhaps("water"),
                  in.perhaps("party"),
                  in.day("from"),
                  in.day("until"),
                  in.day("seen"),
                  in.perhaps("note"));
          case HEALTH_CHECK ->
              new HealthCheck(
                  in.text("reference"),
                  in.text("water"),
                  in.text("species"),
                  in.day("sampled").orElseThrow(() -> in.wrong("sampled", "a day: 2026-11-20")),
                  in.perhaps("consultant"),
                  in.day("until"),
                  in.perhaps("note"));
          case HEALTH_RULE ->
              new HealthRule(
                  in.few("farmedTroutAndSalmonMonths", "months"), in.few("otherMonths", "months"));
          case RETENTION_RULE -> new RetentionRule(in.few("years", "years"));
          case MOVEMENT -> movement(in);
          case FEED,
              WATER_CHANGE,
              SALT,
              TOP_UP,
              WATER_TEST,
              TREATMENT,
              CLEANING,
              HAND_CHECK,
              MOVED ->
              TankEntryFields.read(kind, in);
        };
    in.requireAllKnown();
    return entry;
  }

  private static Movement movement(FieldReader in) {
    return new Movement(
        in.text("species"),
        in.whole("count"),
        in.number("kg"),
        in.perhaps("from"),
        in.perhaps("to"),
        in.time("departs"),
        in.time("arrives"),
        in.whole("died"),
        new Movement.Means(in.perhaps("carrier"), in.perhaps("vehicle"), in.number("distanceKm")),
        new Movement.Papers(
            in.perhaps("supplier"),
            in.perhaps("receiver"),
            in.list("permits"),
            in.list("healthChecks"),
            in.perhaps("consignmentNote"),
            in.perhaps("advanceNotice")),
        in.perhaps("disinfection"),
        in.perhaps("waterChanged"),
        in.perhaps("note"));
  }
}
