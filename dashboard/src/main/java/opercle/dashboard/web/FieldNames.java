// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Map;
import opercle.analysis.records.Entry;
import opercle.analysis.records.WrongFieldException;

/**
 * What the forms call the fields that are sent: whoever typed into one reads of it by that name.
 */
final class FieldNames {

  /** Of any form. */
  private static final Map<String, String> NAMES =
      Map.ofEntries(
          Map.entry("advanceNotice", "Advance notice"),
          Map.entry("alkalinityMgPerL", "Alkalinity"),
          Map.entry("altitudeM", "Height above the sea"),
          Map.entry("amount", "How much"),
          Map.entry("arrives", "Arriving"),
          Map.entry("bar", "Pressure of the cylinder"),
          Map.entry("by", "Your name"),
          Map.entry("carbonDioxideMgPerL", "Carbon dioxide"),
          Map.entry("carrier", "Carried by"),
          Map.entry("consignmentNote", "Consignment note"),
          Map.entry("consultant", "Made by"),
          Map.entry("contact", "How to reach them"),
          Map.entry("count", "How many"),
          Map.entry("cylinderBar", "Cylinder"),
          Map.entry("departs", "Leaving"),
          Map.entry("depthM", "Water over the diffuser"),
          Map.entry("died", "Died on the way"),
          Map.entry("disinfection", "Cleaned and disinfected"),
          Map.entry("distanceKm", "By road"),
          Map.entry("expectedMinutes", "Minutes on the road"),
          Map.entry("farmedTroutAndSalmonMonths", "Trout and salmon of a farm"),
          Map.entry("fish", "How the fish are"),
          Map.entry("flowLPerMin", "Gas set"),
          Map.entry("from", "From"),
          Map.entry("gasLPerMin", "Gas set"),
          Map.entry("healthChecks", "Health checks"),
          Map.entry("holder", "Whose it is"),
          Map.entry("id", "Short name"),
          Map.entry("into", "Into"),
          Map.entry("kg", "Weight"),
          Map.entry("litres", "Water"),
          Map.entry("load", "Fish"),
          Map.entry("lost", "Where it went"),
          Map.entry("losses", "Fish that did not live"),
          Map.entry("meanMassKg", "Weight of one"),
          Map.entry("minutes", "How long"),
          Map.entry("movementRecord", "The movement that is written down"),
          Map.entry("name", "Name"),
          Map.entry("note", "Note"),
          Map.entry("otherMonths", "All other fish"),
          Map.entry("oxygenMgPerL", "Oxygen"),
          Map.entry("party", "Whose it is"),
          Map.entry("permits", "Permits"),
          Map.entry("ph", "pH"),
          Map.entry("place", "Grid reference or address"),
          Map.entry("proteinPercent", "Protein on the bag"),
          Map.entry("reason", "What for"),
          Map.entry("receiver", "Received by"),
          Map.entry("reference", "Number on it"),
          Map.entry("reserveBar", "Kept in reserve"),
          Map.entry("responseMinutes", "Until somebody has gas flowing"),
          Map.entry("riseC", "Water warms by"),
          Map.entry("salinityGPerKg", "Salt"),
          Map.entry("saltKg", "Salt put in with it"),
          Map.entry("sampled", "Day of the sample"),
          Map.entry("seen", "Document last looked at"),
          Map.entry("since", "In since"),
          Map.entry("site", "Site"),
          Map.entry("species", "Kind of fish"),
          Map.entry("supplier", "Supplied by"),
          Map.entry("tanMgPerL", "Total ammonia"),
          Map.entry("tank", "Tank"),
          Map.entry("temperatureC", "Water"),
          Map.entry("time", "When"),
          Map.entry("to", "To"),
          Map.entry("until", "Last day"),
          Map.entry("vehicle", "Vehicle"),
          Map.entry("water", "Water"),
          Map.entry("waterChanged", "Water changed on the way"),
          Map.entry("waterLitres", "Water"),
          Map.entry("what", "What"),
          Map.entry("why", "Why"),
          Map.entry("withdrawal", "Withdrawal period"),
          Map.entry("years", "For how long"));

  /** Of one kind of entry, where it is called something else there. */
  private static final Map<String, String> OF_KIND =
      Map.of(
          "hand-check/oxygenMgPerL", "Oxygen by hand meter",
          "hand-check/temperatureC", "Water by hand meter",
          "feed/kg", "How much",
          "salt/kg", "How much",
          "moved/kg", "How much",
          "moved/to", "Into",
          "permit/from", "First day",
          "treatment/until", "Its last day",
          "movement/kg", "All together");

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.UK);

  /** With its zone, where the clock shows the same time twice. */
  private static final DateTimeFormatter TWICE =
      DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm z", Locale.UK);

  private FieldNames() {}

  /**
   * What a form calls a field.
   *
   * @param pointer its name, or where it stands, a JSON Pointer (RFC 6901)
   */
  static String of(String pointer) {
    String field = pointer.substring(pointer.lastIndexOf('/') + 1);
    return NAMES.getOrDefault(field, "What was sent");
  }

  /** What is wrong with a field of an entry, in one sentence, by the farm's clock. */
  static String told(Entry.Kind kind, WrongFieldException e, ZoneId zone) {
    String name = OF_KIND.getOrDefault(kind.id() + "/" + e.field(), of(e.field()));
    return "%s: %s.".formatted(name, e.told(time -> time(time, zone)));
  }

  /** A time as the farm's clock shows it. */
  static String time(Instant time, ZoneId zone) {
    boolean isTwice =
        zone.getRules().getValidOffsets(time.atZone(zone).toLocalDateTime()).size() > 1;
    return (isTwice ? TWICE : TIME).format(time.atZone(zone));
  }
}
