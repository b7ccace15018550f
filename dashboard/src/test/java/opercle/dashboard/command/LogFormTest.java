// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.joran.JoranConfigurator;
import ch.qos.logback.classic.util.LogbackMDCAdapter;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.net.URI;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.dashboard.calling.WebhookSettings;
import org.junit.jupiter.api.Test;
import org.slf4j.Logger;

/** The log as {@code logback.xml} makes it, in a context of its own. */
class LogFormTest {

  private static final WebhookSettings HOOK =
      new WebhookSettings(
          URI.create("https://198.51.100.7/in/s3cret"),
          Optional.of("gudgeon"),
          WebhookSettings.Format.JSON);

  private static List<String> lines(String form, Consumer<LoggerContext> said) throws Exception {
    PrintStream before = System.err;
    ByteArrayOutputStream caught = new ByteArrayOutputStream();
    LoggerContext context = new LoggerContext();
    context.setMDCAdapter(new LogbackMDCAdapter());
    context.putProperty("OPERCLE_LOG", form);
    try {
      System.setErr(new PrintStream(caught, true, UTF_8));
      JoranConfigurator configurator = new JoranConfigurator();
      configurator.setContext(context);
      configurator.doConfigure(
          Objects.requireNonNull(OpercleCommand.class.getResource("/logback.xml")));
      said.accept(context);
    } finally {
      context.stop();
      System.setErr(before);
    }
    return caught.toString(UTF_8).lines().toList();
  }

  private static void say(LoggerContext context) {
    Logger log = context.getLogger("opercle.test");
    log.warn("calling {} \"at once\"\nand again", HOOK);
    log.error("it failed", new IllegalStateException("no \"disk\""));
    log.atInfo().addKeyValue("readings", "720").log("readings={}", 720);
    context
        .getLogger("io.netty.test")
        .warn("malformed", new IllegalStateException("by a stranger"));
  }

  @Test
  void json_isAnObjectALine_withTheMessageAsItReadsAndNothingOfItsArguments() throws Exception {
    List<String> lines = lines("json", LogFormTest::say);

    assertThat(lines).hasSize(4);
    assertThat(lines).noneMatch(l -> l.contains("gudgeon") || l.contains("s3cret"));
    ObjectMapper json = new ObjectMapper();
    JsonNode first = json.readTree(lines.get(0));
    assertThat(first.path("level").asText()).isEqualTo("WARN");
    assertThat(first.path("loggerName").asText()).isEqualTo("opercle.test");
    assertThat(first.path("timestamp").asLong()).isPositive();
    assertThat(first.path("formattedMessage").asText())
        .isEqualTo("calling JSON to 198.51.100.7 \"at once\"\nand again");
    assertThat(json.readTree(lines.get(1)).path("throwable").path("message").asText())
        .isEqualTo("no \"disk\"");
    assertThat(json.readTree(lines.get(2)).path("kvpList").path(0).path("readings").asText())
        .isEqualTo("720");
    assertThat(json.readTree(lines.get(3)).has("throwable")).as("a stranger's fault").isFalse();
  }

  @Test
  void text_isAsEver() throws Exception {
    List<String> lines = lines("text", LogFormTest::say);

    assertThat(lines.get(0))
        .contains(" WARN  test: calling JSON to 198.51.100.7 \"at once\" and again");
    assertThat(lines).noneMatch(l -> l.contains("gudgeon") || l.contains("s3cret"));
  }
}
