// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.BookException;
import opercle.analysis.calling.Hours;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Problems;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;

/** People as text: for the farm book, to be looked at, and to be carried over. */
final class PeopleJson {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private PeopleJson() {}

  /** What the farm book keeps: the keys of the configuration, and no secret. */
  static String text(List<Called> people) {
    return textOf(people.stream().<JsonNode>map(PeopleJson::whole).toList());
  }

  /**
   * The people of such a text. JSON is YAML too, so that one reader knows every limit.
   *
   * @param source what to call it in messages
   * @throws UnusableInputException with all that is wrong
   */
  static List<Called> read(
      String source, String text, Optional<MailSettings> mail, WebhookKeys keys) {
    Problems problems = new Problems();
    List<Called> people = new PeopleReader(mail, keys).read(YamlFile.parse(source, text, problems));
    problems.throwIfAny();
    return people;
  }

  /** Such a text's people, one by one. */
  static List<JsonNode> nodes(String text) {
    try {
      List<JsonNode> nodes = new ArrayList<>();
      JSON.readTree(text).path("people").forEach(nodes::add);
      return nodes;
    } catch (JsonProcessingException e) {
      throw new BookException("the farm book names people in a form that cannot be read");
    }
  }

  /** The text of such people. */
  static String textOf(Iterable<JsonNode> nodes) {
    ObjectNode top = NODES.objectNode();
    ArrayNode list = top.putArray("people");
    nodes.forEach(list::add);
    return top.toString();
  }

  /** One person, as the configuration would describe them. */
  static ObjectNode whole(Called person) {
    ObjectNode node = NODES.objectNode().put("name", person.name());
    person.onCall().ifPresent(h -> hours(node, h));
    ArrayNode channels = node.putArray("channels");
    for (Way way : person.ways()) {
      if (way instanceof Way.Mail mail) {
        channels.addObject().put("mail", mail.addresses());
      } else if (way instanceof Way.Webhook webhook) {
        ObjectNode w = channels.addObject().putObject("webhook");
        w.put("url", webhook.settings().url().toString());
        webhook.secretFile().ifPresent(file -> w.put("secretFile", file));
        w.put("format", format(webhook));
      } else {
        channels.add("push");
      }
    }
    return node;
  }

  /**
   * One person as a page may show them: of a webhook only the machine, for the rest may be a
   * secret.
   */
  static ObjectNode shown(Called person) {
    ObjectNode node = NODES.objectNode().put("name", person.name());
    person.onCall().ifPresent(h -> hours(node, h));
    ArrayNode channels = node.putArray("channels");
    for (Map.Entry<String, Way> entry : person.channels().entrySet()) {
      ObjectNode c = channels.addObject();
      c.put("channel", entry.getKey()).put("kind", entry.getValue().kind());
      if (entry.getValue() instanceof Way.Mail mail) {
        c.put("mail", mail.addresses());
      } else if (entry.getValue() instanceof Way.Webhook webhook) {
        c.put("host", webhook.settings().url().getHost());
        c.put("format", format(webhook));
        c.put("signed", webhook.settings().secret().isPresent());
      }
    }
    return node;
  }

  private static void hours(ObjectNode node, Hours hours) {
    node.putObject("hours").put("from", hours.from().toString()).put("to", hours.to().toString());
  }

  private static String format(Way.Webhook webhook) {
    return webhook.settings().format().name().toLowerCase(Locale.ROOT);
  }

  /**
   * The part {@code people} of an {@code opercle.yaml}. A webhook is a comment in it: its address
   * may be a secret, and a person without another way is then not read, and not called by less.
   */
  static String yaml(List<Called> people) {
    StringBuilder yaml = new StringBuilder(80).append("people:");
    yaml.append(people.isEmpty() ? " []\n" : "\n");
    for (Called person : people) {
      yaml.append("  - name: ").append(quoted(person.name())).append('\n');
      person
          .onCall()
          .ifPresent(
              h ->
                  yaml.append(
                      "    hours: { from: \"%s\", to: \"%s\" }%n".formatted(h.from(), h.to())));
      yaml.append("    channels:\n");
      for (Way way : person.ways()) {
        if (way instanceof Way.Mail mail) {
          yaml.append("      - mail: ").append(quoted(mail.addresses())).append('\n');
        } else if (way instanceof Way.Webhook webhook) {
          yaml.append("      # - webhook: its address at ")
              .append(webhook.settings().url().getHost())
              .append(" is not given out; write it here\n");
        } else {
          yaml.append("      - push\n");
        }
      }
    }
    return yaml.toString();
  }

  private static String quoted(String text) {
    try {
      return JSON.writeValueAsString(text);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a text could not be written", e);
    }
  }
}
