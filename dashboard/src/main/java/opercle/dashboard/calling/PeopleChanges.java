// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/**
 * What differs between two descriptions of who is called, and how two come together. By what the
 * farm book keeps of them, so that neither needs a mail server or a key that is there. Pure.
 */
final class PeopleChanges {

  private PeopleChanges() {}

  /** A sentence for each difference; empty if there is none. */
  static List<String> between(List<JsonNode> before, List<JsonNode> after) {
    List<String> what = new ArrayList<>();
    Map<String, JsonNode> was = byName(before);
    Map<String, JsonNode> is = byName(after);
    is.forEach(
        (name, person) -> {
          @Nullable JsonNode old = was.get(name);
          if (old == null) {
            what.add("%s is called too: %s.".formatted(name, words(person)));
          } else if (!old.equals(person)) {
            what.add(changed(name, words(old), words(person)));
          }
        });
    was.keySet().stream()
        .filter(name -> !is.containsKey(name))
        .forEach(name -> what.add("%s is called no longer.".formatted(name)));
    List<String> stayed = was.keySet().stream().filter(is::containsKey).toList();
    List<String> stay = is.keySet().stream().filter(was::containsKey).toList();
    if (!stayed.equals(stay)) {
      what.add("They are called in the order %s.".formatted(String.join(", ", is.keySet())));
    }
    return what;
  }

  private static String changed(String name, String was, String is) {
    return was.equals(is)
        ? "%s is called at another address, or with another key.".formatted(name)
        : "%s is called %s; was: %s.".formatted(name, is, was);
  }

  private static String words(JsonNode person) {
    List<String> ways = new ArrayList<>();
    for (JsonNode channel : person.path("channels")) {
      ways.add(
          ChannelWords.of(channel.isTextual() ? channel.textValue() : channel.fieldNames().next()));
    }
    JsonNode hours = person.path("hours");
    return "by %s, %s"
        .formatted(
            String.join(" and ", ways),
            hours.isObject()
                ? "from %s to %s".formatted(hours.path("from").asText(), hours.path("to").asText())
                : "at any hour");
  }

  /**
   * The people that are to be called where a hand may have changed the configuration and others the
   * pages: whom the hand changed is as it says, everybody else as the pages left them.
   *
   * @param fileBefore what the configuration said when it was last read
   * @param file what it says now
   * @param inForce who was called last
   */
  static List<JsonNode> merged(
      List<JsonNode> fileBefore, List<JsonNode> file, List<JsonNode> inForce) {
    Map<String, JsonNode> was = byName(fileBefore);
    Map<String, JsonNode> is = byName(file);
    Map<String, JsonNode> kept = byName(inForce);
    boolean orderedByHand = !List.copyOf(was.keySet()).equals(List.copyOf(is.keySet()));
    List<String> order = new ArrayList<>(orderedByHand ? is.keySet() : kept.keySet());
    order.addAll(orderedByHand ? kept.keySet() : is.keySet());
    return order.stream()
        .distinct()
        .map(name -> Objects.equals(was.get(name), is.get(name)) ? kept.get(name) : is.get(name))
        .filter(Objects::nonNull)
        .map(Objects::requireNonNull)
        .toList();
  }

  private static Map<String, JsonNode> byName(List<JsonNode> people) {
    Map<String, JsonNode> named = new LinkedHashMap<>();
    people.forEach(p -> named.putIfAbsent(p.path("name").asText(), p));
    return named;
  }
}
