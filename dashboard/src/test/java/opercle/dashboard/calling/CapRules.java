// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.w3c.dom.Element;
import org.w3c.dom.Node;

/**
 * What the Common Alerting Protocol 1.2 (OASIS, 1 July 2010) asks of a document, written from its
 * section 3.2 and sharing nothing with what writes ours.
 */
final class CapRules {

  private static final String NAMESPACE = "urn:oasis:names:tc:emergency:cap:1.2";

  /** Elements in the order of the data dictionary, 3.2.1: once (1), at most once (?), any (*). */
  private static final List<String> ALERT =
      List.of(
          "identifier 1",
          "sender 1",
          "sent 1",
          "status 1",
          "msgType 1",
          "source ?",
          "scope 1",
          "restriction ?",
          "addresses ?",
          "code *",
          "note ?",
          "references ?",
          "incidents ?",
          "info *");

  /** 3.2.2. */
  private static final List<String> INFO =
      List.of(
          "language ?",
          "category +",
          "event 1",
          "responseType *",
          "urgency 1",
          "severity 1",
          "certainty 1",
          "audience ?",
          "eventCode *",
          "effective ?",
          "onset ?",
          "expires ?",
          "senderName ?",
          "headline ?",
          "description ?",
          "instruction ?",
          "web ?",
          "contact ?",
          "parameter *",
          "resource *",
          "area *");

  private static final List<String> PARAMETER = List.of("valueName 1", "value 1");

  /** 3.2.4. */
  private static final List<String> AREA =
      List.of("areaDesc 1", "polygon *", "circle *", "geocode *", "altitude ?", "ceiling ?");

  private static final Map<String, Set<String>> WORDS =
      Map.of(
          "status", Set.of("Actual", "Exercise", "System", "Test", "Draft"),
          "msgType", Set.of("Alert", "Update", "Cancel", "Ack", "Error"),
          "scope", Set.of("Public", "Restricted", "Private"),
          "category",
              Set.of(
                  "Geo",
                  "Met",
                  "Safety",
                  "Security",
                  "Rescue",
                  "Fire",
                  "Health",
                  "Env",
                  "Transport",
                  "Infra",
                  "CBRNE",
                  "Other"),
          "responseType",
              Set.of(
                  "Shelter",
                  "Evacuate",
                  "Prepare",
                  "Execute",
                  "Avoid",
                  "Monitor",
                  "Assess",
                  "AllClear",
                  "None"),
          "urgency", Set.of("Immediate", "Expected", "Future", "Past", "Unknown"),
          "severity", Set.of("Extreme", "Severe", "Moderate", "Minor", "Unknown"),
          "certainty", Set.of("Observed", "Likely", "Possible", "Unlikely", "Unknown"));

  private static final Pattern NAME = Pattern.compile("[^\\s,<&]+");

  /** 3.3.2: an offset in digits, never a letter, and no fraction. */
  private static final Pattern TIME =
      Pattern.compile("\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d[-+]\\d\\d:\\d\\d");

  private static final Set<String> TIMES = Set.of("sent", "effective", "onset", "expires");

  private final List<String> broken = new ArrayList<>();

  private CapRules() {}

  /** What a document breaks, each with the section of the standard; empty if nothing. */
  static List<String> broken(Element alert) {
    CapRules rules = new CapRules();
    rules.alert(alert);
    return rules.broken;
  }

  private void alert(Element alert) {
    if (!"alert".equals(alert.getLocalName()) || !NAMESPACE.equals(alert.getNamespaceURI())) {
      broken.add("3.2.1: the root is alert of " + NAMESPACE);
    }
    children(alert, ALERT, "3.2.1");
    for (Element child : elements(alert)) {
      String name = child.getLocalName();
      if (Set.of("identifier", "sender").contains(name)
          && !NAME.matcher(child.getTextContent()).matches()) {
        broken.add("3.2.1: %s holds a blank, a comma or markup".formatted(name));
      }
      if ("info".equals(name)) {
        info(child);
      }
    }
    if ("Private".equals(text(alert, "scope")) && text(alert, "addresses").isEmpty()) {
      broken.add("3.2.1: scope Private wants addresses");
    }
    references(alert);
  }

  private void references(Element alert) {
    String references = text(alert, "references");
    boolean wanted = Set.of("Update", "Cancel", "Ack", "Error").contains(text(alert, "msgType"));
    if (wanted && references.isEmpty()) {
      broken.add("3.2.1: msgType %s wants references".formatted(text(alert, "msgType")));
    }
    for (String one : references.isEmpty() ? new String[0] : references.split("\\s+")) {
      String[] parts = one.split(",", -1);
      boolean good =
          parts.length == 3
              && NAME.matcher(parts[0]).matches()
              && NAME.matcher(parts[1]).matches()
              && TIME.matcher(parts[2]).matches();
      if (!good) {
        broken.add("3.2.1: references hold sender,identifier,sent but not " + one);
      } else if (parts[1].equals(text(alert, "identifier"))) {
        broken.add("3.2.1: a message refers to earlier ones, not to itself");
      }
    }
  }

  private void info(Element info) {
    children(info, INFO, "3.2.2");
    for (Element child : elements(info)) {
      switch (child.getLocalName()) {
        case "parameter" -> children(child, PARAMETER, "3.2.2");
        case "area" -> children(child, AREA, "3.2.4");
        case "web" -> {
          if (!URI.create(child.getTextContent()).isAbsolute()) {
            broken.add("3.2.2: web is a full, absolute address");
          }
        }
        default -> {}
      }
    }
  }

  private void children(Element of, List<String> order, String section) {
    List<String> names = order.stream().map(o -> o.substring(0, o.length() - 2)).toList();
    int last = 0;
    for (Element child : elements(of)) {
      int at = names.indexOf(child.getLocalName());
      if (at < 0 || !NAMESPACE.equals(child.getNamespaceURI())) {
        broken.add("%s: no %s in %s".formatted(section, child.getNodeName(), of.getLocalName()));
      } else if (at < last) {
        broken.add("%s: %s is out of order".formatted(section, child.getLocalName()));
      }
      last = Math.max(last, at);
      content(child, section);
    }
    for (int i = 0; i < order.size(); i++) {
      String name = names.get(i);
      long count = elements(of).stream().filter(e -> name.equals(e.getLocalName())).count();
      char how = order.get(i).charAt(order.get(i).length() - 1);
      if ((how == '1' && count != 1) || (how == '?' && count > 1) || (how == '+' && count < 1)) {
        broken.add("%s: %d of %s in %s".formatted(section, count, name, of.getLocalName()));
      }
    }
  }

  private void content(Element child, String section) {
    String name = child.getLocalName();
    String text = child.getTextContent();
    if (text.isBlank()) {
      broken.add("%s: %s is empty".formatted(section, name));
    }
    if (WORDS.containsKey(name) && !WORDS.get(name).contains(text)) {
      broken.add("%s: %s is no word for %s".formatted(section, text, name));
    }
    if (TIMES.contains(name) && !TIME.matcher(text).matches()) {
      broken.add("3.3.2: %s is no time for %s".formatted(text, name));
    }
  }

  private static String text(Element of, String name) {
    return elements(of).stream()
        .filter(e -> name.equals(e.getLocalName()))
        .map(Node::getTextContent)
        .findFirst()
        .orElse("");
  }

  private static List<Element> elements(Element of) {
    List<Element> elements = new ArrayList<>();
    for (Node n = of.getFirstChild(); n != null; n = n.getNextSibling()) {
      if (n instanceof Element element) {
        elements.add(element);
      }
    }
    return elements;
  }
}
