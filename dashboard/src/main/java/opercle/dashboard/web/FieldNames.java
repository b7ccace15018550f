// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
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
          Map.entry("channels", "Ways to reach them"),
          Map.entry("connection", "Water in or out"),
          Map.entry("consignmentNote", "Consignment note"),
          Map.entry("consultant", "Made by"),
          Map.entry("contact", "How to reach them"),
          Map.entry("corrects", "What this puts right"),
          Map.entry("count", "How many"),
          Map.entry("criticalMgPerL", "Critical floor"),
          Map.entry("cylinder", "Cylinder"),
          Map.entry("cylinderBar", "Cylinder"),
          Map.entry("days", "Held for at most"),
          Map.entry("departs", "Leaving"),
          Map.entry("depthM", "Water over the diffuser"),
          Map.entry("died", "Died on the way"),
          Map.entry("diffuser", "Through"),
          Map.entry("disinfection", "Cleaned and disinfected"),
          Map.entry("distanceKm", "By road"),
          Map.entry("expectedMinutes", "Minutes on the road"),
          Map.entry("farmedTroutAndSalmonMonths", "Trout and salmon of a farm"),
          Map.entry("feeding", "Food"),
          Map.entry("fish", "How the fish are"),
          Map.entry("floors", "Floors"),
          Map.entry("flowLPerMin", "Gas set"),
          Map.entry("format", "Sent as"),
          Map.entry("freshLPerHour", "Fresh water that runs through"),
          Map.entry("from", "From"),
          Map.entry("fullBar", "Cylinder, when full"),
          Map.entry("gas", "Gas"),
          Map.entry("gasLPerMin", "Gas set"),
          Map.entry("handling", "Handling"),
          Map.entry("healthChecks", "Health checks"),
          Map.entry("holder", "Whose it is"),
          Map.entry("holding", "Holding"),
          Map.entry("hours", "On call"),
          Map.entry("id", "Short name"),
          Map.entry("into", "Into"),
          Map.entry("keepMgPerL", "Keep floor"),
          Map.entry("kg", "Weight"),
          Map.entry("kind", "What it is for"),
          Map.entry("litres", "Water"),
          Map.entry("load", "Fish"),
          Map.entry("losses", "Fish that did not live"),
          Map.entry("lost", "Where it went"),
          Map.entry("mail", "Mail address"),
          Map.entry("meanMassKg", "Weight of one"),
          Map.entry("minutes", "How long"),
          Map.entry("movementRecord", "The movement that is written down"),
          Map.entry("name", "Name"),
          Map.entry("note", "Note"),
          Map.entry("otherMonths", "All other fish"),
          Map.entry("otherMovements", "The movements of the other kinds"),
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
          Map.entry("secret", "Secret"),
          Map.entry("seen", "Document last looked at"),
          Map.entry("sharedSource", "Shared blower or cylinder"),
          Map.entry("since", "In since"),
          Map.entry("site", "Site"),
          Map.entry("source", "From"),
          Map.entry("species", "Kind of fish"),
          Map.entry("supplier", "Supplied by"),
          Map.entry("supply", "Gas"),
          Map.entry("tanMgPerL", "Total ammonia"),
          Map.entry("tank", "Tank"),
          Map.entry("temperatureC", "Water"),
          Map.entry("time", "When"),
          Map.entry("to", "To"),
          Map.entry("type", "What it is"),
          Map.entry("until", "Last day"),
          Map.entry("url", "Web address"),
          Map.entry("vehicle", "Vehicle"),
          Map.entry("water", "Water"),
          Map.entry("waterChanged", "Water changed on the way"),
          Map.entry("waterLitres", "Water"),
          Map.entry("webhook", "Web address"),
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

  /** Places in lists at the end of where a field stands. */
  private static final Pattern NUMBERS = Pattern.compile("(/\\d+|\\[\\d+])+$");

  private FieldNames() {}

  /**
   * What a form calls a field.
   *
   * @param pointer its name, or where it stands: a JSON Pointer (RFC 6901) or a key such as {@code
   *     channels[0].mail}
   */
  static String of(String pointer) {
    String field = NUMBERS.matcher(pointer).replaceAll("");
    field = field.substring(Math.max(field.lastIndexOf('/'), field.lastIndexOf('.')) + 1);
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
