// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/**
 * The evening check for a terminal: the answer first, then what concerns the whole farm, then tank
 * by tank, the worst first. What is well stands in small letters, what is not in capitals: no
 * colour is needed to read it.
 */
final class EveningText {

  private static final int WIDTH = 96;
  private static final int INDENT = 12;
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("EEE d MMM HH:mm", Locale.ENGLISH);

  private final StringBuilder out = new StringBuilder();

  private EveningText() {}

  /**
   * Lays out an answer of {@code /api/v1/evening}.
   *
   * @param zone in which times are said
   */
  static String of(JsonNode evening, ZoneId zone) {
    EveningText text = new EveningText();
    text.write(evening, zone);
    return text.out.toString().stripTrailing();
  }

  private void write(JsonNode evening, ZoneId zone) {
    boolean bed = evening.path("canGoToBed").asBoolean();
    int open = evening.path("open").asInt();
    out.append(bed ? "YOU CAN GO TO BED." : "NOT YET.");
    if (!bed) {
      out.append(open == 1 ? " One thing to see to." : " %d things to see to.".formatted(open));
    }
    out.append('\n');
    out.append(
        "%s, %s; the next look is at %s.\n"
            .formatted(
                evening.path("farm").asText(),
                time(evening.path("time"), zone),
                time(evening.path("morning"), zone)));
    section("The monitor and the people it calls", evening.path("checks"));
    for (JsonNode tank : evening.path("tanks")) {
      section(
          "%s (%s)".formatted(tank.path("name").asText(), tank.path("tank").asText()),
          tank.path("checks"));
    }
    if (bed) {
      out.append("\nA monitor is a second pair of eyes: look at the fish on your way.\n");
    }
  }

  private static String time(JsonNode time, ZoneId zone) {
    return TIME.format(Instant.parse(time.asText()).atZone(zone));
  }

  private void section(String title, JsonNode checks) {
    out.append('\n').append(title).append('\n');
    for (JsonNode check : checks) {
      String answer = check.path("answer").asText();
      String mark =
          switch (answer) {
            case "yes" -> "  yes";
            case "no" -> "  NO";
            default -> "  NOT KNOWN";
          };
      wrapped(mark, check.path("words").asText());
      if (check.has("action")) {
        wrapped("      do:", check.path("action").asText());
      }
    }
  }

  private void wrapped(String first, String words) {
    StringBuilder line = new StringBuilder(first);
    line.append(" ".repeat(Math.max(1, INDENT - first.length())));
    int start = line.length();
    for (String word : words.split(" ", -1)) {
      if (line.length() > start && line.length() + word.length() >= WIDTH) {
        out.append(line.toString().stripTrailing()).append('\n');
        line = new StringBuilder(" ".repeat(INDENT));
        start = line.length();
      }
      line.append(word).append(' ');
    }
    out.append(line.toString().stripTrailing()).append('\n');
  }
}
