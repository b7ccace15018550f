// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/**
 * Keeps docs/alarms.md true: what stands there between the two marks is the {@link AlarmGuide}. To
 * write it anew:
 *
 * <pre>
 * mvn -q -pl analysis -am test -Dtest=AlarmDocumentTest -Dsurefire.failIfNoSpecifiedTests=false -Dopercle.writeDocs=true
 * </pre>
 */
class AlarmDocumentTest {

  private static final String BEGIN = "<!-- from AlarmGuide: do not edit by hand -->\n";
  private static final String END = "<!-- end of what comes from AlarmGuide -->\n";

  @Test
  void document_saysWhatTheGuideSays() throws IOException {
    Path document = Path.of(System.getProperty("basedir", "."), "..", "docs", "alarms.md");
    String text = Files.readString(document);
    assertThat(text).contains(BEGIN, END);
    int from = text.indexOf(BEGIN) + BEGIN.length();
    int to = text.indexOf(END);
    if (Boolean.getBoolean("opercle.writeDocs")) {
      Files.writeString(document, text.substring(0, from) + guide() + text.substring(to));
    } else {
      assertThat(text.substring(from, to))
          .as(
              "docs/alarms.md differs from AlarmGuide; write it anew with the command in"
                  + " AlarmDocumentTest")
          .isEqualTo(guide());
    }
  }

  private static String guide() {
    return "\n"
        + AlarmGuide.all().stream().map(AlarmDocumentTest::section).collect(Collectors.joining());
  }

  private static String section(AlarmGuide guide) {
    StringBuilder text = new StringBuilder();
    text.append("### ")
        .append(guide.title())
        .append(" (`")
        .append(guide.cause().id())
        .append("`)\n\n");
    text.append("| | |\n| --- | --- |\n");
    row(text, "May be", String.join("; ", guide.causes()) + ".");
    row(text, "If ignored", guide.ifIgnored());
    row(
        text,
        guide.actions().size() == 1 ? "First action" : "First action, by what is found",
        guide.actions().stream().map(FirstAction::sentence).collect(Collectors.joining("<br>")));
    row(text, "To be sure", guide.toBeSure());
    row(text, "Time available", guide.timeAvailable());
    row(text, "Priority", guide.priorityRule());
    row(text, "Set point", guide.setPoint());
    row(text, "Delays", guide.delays());
    row(
        text,
        "Latched",
        guide.latches() ? "Yes: it stays until somebody has looked and resets it." : "No.");
    if (guide.gasWork()) {
      row(text, "Caution", AlarmGuide.OXYGEN_CAUTION + " " + AlarmGuide.BLOWER_CAUTION);
    }
    return text.append('\n').toString();
  }

  private static void row(StringBuilder text, String heading, String words) {
    text.append("| ")
        .append(heading)
        .append(" | ")
        .append(words.replace("|", "\\|"))
        .append(" |\n");
  }
}
