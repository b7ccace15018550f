// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import opercle.analysis.monitor.TroubleGuide;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.Test;

/**
 * Keeps docs/alarms.md true: what stands there between the marks is the {@link AlarmGuide}, and the
 * {@link TroubleGuide}. To write it anew:
 *
 * <pre>
 * mvn -q -pl analysis -am test -Dtest=AlarmDocumentTest -Dsurefire.failIfNoSpecifiedTests=false -Dopercle.writeDocs=true
 * </pre>
 */
class AlarmDocumentTest {

  private static final Path DOCUMENT =
      Path.of(System.getProperty("basedir", "."), "..", "docs", "alarms.md");

  @Test
  void document_saysWhatTheGuideSays() throws IOException {
    check("AlarmGuide", guide());
  }

  @Test
  void document_saysWhatTheGuideToTheMonitorsTroublesSays() throws IOException {
    check("TroubleGuide", troubles());
  }

  private static void check(String source, String wanted) throws IOException {
    String begin = "<!-- from %s: do not edit by hand -->\n".formatted(source);
    String end = "<!-- end of what comes from %s -->\n".formatted(source);
    String text = Files.readString(DOCUMENT);
    assertThat(text).contains(begin, end);
    int from = text.indexOf(begin) + begin.length();
    int to = text.indexOf(end);
    if (Boolean.getBoolean("opercle.writeDocs")) {
      Files.writeString(DOCUMENT, text.substring(0, from) + wanted + text.substring(to));
    } else {
      assertThat(text.substring(from, to))
          .as(
              "docs/alarms.md differs from %s; write it anew with the command in"
                  + " AlarmDocumentTest",
              source)
          .isEqualTo(wanted);
    }
  }

  private static String troubles() {
    StringBuilder text =
        new StringBuilder("\n| trouble | if ignored | the one thing to do | calls | waits |\n");
    text.append("| --- | --- | --- | --- | --- |\n");
    for (TroubleGuide guide : TroubleGuide.all()) {
      TroubleKind kind = guide.kind();
      text.append("| %s (`%s`)".formatted(guide.title(), kind.id()))
          .append(" | ")
          .append(guide.ifIgnored())
          .append(" | ")
          .append(guide.action())
          .append(" | ")
          .append(
              switch (kind.calls()) {
                case AT_ONCE -> "**at any hour**";
                case BY_DAY -> "by day";
                case IN_THE_MORNING -> "next morning";
              })
          .append(" | ")
          .append(kind.onDelay().isZero() ? "not" : kind.onDelay().toSeconds() + " s")
          .append(" |\n");
    }
    return text.append('\n').toString();
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
