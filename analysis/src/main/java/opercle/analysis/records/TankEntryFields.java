// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import opercle.analysis.records.TankEntry.Where;
import opercle.analysis.stock.Fish;

/** What was done at tanks, as named fields and back. */
final class TankEntryFields {

  private TankEntryFields() {}

  static void put(Map<String, Object> fields, TankEntry entry) {
    fields.put("tank", entry.where().tank());
    EntryFields.put(fields, "tankName", entry.where().name());
    fields.put("time", entry.where().time().toString());
    if (entry instanceof TankEntry.Feed f) {
      number(fields, "kg", f.kg());
      number(fields, "proteinPercent", f.proteinPercent());
      EntryFields.put(fields, "note", f.note());
    } else if (entry instanceof TankEntry.WaterChange w) {
      fields.put("litres", w.litres());
      EntryFields.put(fields, "note", w.note());
    } else if (entry instanceof TankEntry.Salt s) {
      fields.put("kg", s.kg());
      EntryFields.put(fields, "reason", s.reason());
    } else if (entry instanceof TankEntry.TopUp t) {
      fields.put("litres", t.litres());
      fields.put("lost", t.lost().id());
      number(fields, "saltKg", t.saltKg());
      EntryFields.put(fields, "note", t.note());
    } else if (entry instanceof TankEntry.WaterTest t) {
      number(fields, "tanMgPerL", t.tanMgPerL());
      number(fields, "ph", t.ph());
      number(fields, "carbonDioxideMgPerL", t.carbonDioxideMgPerL());
      number(fields, "salinityGPerKg", t.salinityGPerKg());
      number(fields, "alkalinityMgPerL", t.alkalinityMgPerL());
      number(fields, "temperatureC", t.temperatureC());
      EntryFields.put(fields, "note", t.note());
    } else if (entry instanceof TankEntry.Treatment t) {
      fields.put("what", t.what());
      fields.put("amount", t.amount());
      fields.put("reason", t.reason());
      EntryFields.put(fields, "withdrawal", t.withdrawal());
      EntryFields.put(fields, "until", t.until());
      EntryFields.put(fields, "note", t.note());
    } else if (entry instanceof TankEntry.HandCheck c) {
      fields.put("fish", c.fish().id());
      number(fields, "oxygenMgPerL", c.oxygenMgPerL());
      number(fields, "temperatureC", c.temperatureC());
      EntryFields.put(fields, "note", c.note());
    } else if (entry instanceof TankEntry.Moved m) {
      fields.put("to", m.to());
      EntryFields.put(fields, "toName", m.toName());
      EntryFields.put(fields, "species", m.species());
      number(fields, "kg", m.kg());
      EntryFields.put(fields, "note", m.note());
    } else if (entry instanceof TankEntry.Cleaning c) {
      EntryFields.put(fields, "note", c.note());
    }
  }

  private static void number(Map<String, Object> fields, String name, OptionalDouble value) {
    value.ifPresent(v -> fields.put(name, v));
  }

  static TankEntry read(Entry.Kind kind, FieldReader in) {
    Where where = new Where(in.text("tank"), in.perhaps("tankName"), in.time("time"));
    return switch (kind) {
      case FEED ->
          new TankEntry.Feed(
              where, in.number("kg"), in.number("proteinPercent"), in.perhaps("note"));
      case WATER_CHANGE ->
          new TankEntry.WaterChange(where, needed(in, "litres"), in.perhaps("note"));
      case SALT -> new TankEntry.Salt(where, needed(in, "kg"), in.perhaps("reason"));
      case TOP_UP ->
          new TankEntry.TopUp(
              where,
              needed(in, "litres"),
              in.word("lost", TankEntry.TopUp.Lost::of),
              in.number("saltKg"),
              in.perhaps("note"));
      case WATER_TEST ->
          new TankEntry.WaterTest(
              where,
              in.number("tanMgPerL"),
              in.number("ph"),
              in.number("carbonDioxideMgPerL"),
              in.number("salinityGPerKg"),
              in.number("alkalinityMgPerL"),
              in.number("temperatureC"),
              in.perhaps("note"));
      case TREATMENT ->
          new TankEntry.Treatment(
              where,
              in.text("what"),
              in.text("amount"),
              in.text("reason"),
              in.perhaps("withdrawal"),
              in.day("until"),
              in.perhaps("note"));
      case HAND_CHECK ->
          new TankEntry.HandCheck(
              where,
              in.word("fish", TankEntryFields::fish),
              in.number("oxygenMgPerL"),
              in.number("temperatureC"),
              in.perhaps("note"));
      case MOVED ->
          new TankEntry.Moved(
              where,
              in.text("to"),
              in.perhaps("toName"),
              in.perhaps("species"),
              in.number("kg"),
              in.perhaps("note"));
      case CLEANING -> new TankEntry.Cleaning(where, in.perhaps("note"));
      default ->
          throw new IllegalArgumentException("a %s is not of a tank".formatted(kind.words()));
    };
  }

  private static Optional<Fish> fish(String id) {
    return Stream.of(Fish.values()).filter(f -> f.id().equals(id)).findFirst();
  }

  private static double needed(FieldReader in, String name) {
    return in.number(name).orElseThrow(() -> in.wrong(name, "a number"));
  }
}
