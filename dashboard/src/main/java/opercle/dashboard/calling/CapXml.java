// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static java.util.stream.Collectors.joining;

import java.io.StringWriter;
import java.time.Duration;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import javax.xml.stream.XMLOutputFactory;
import javax.xml.stream.XMLStreamException;
import javax.xml.stream.XMLStreamWriter;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGuide;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Earlier;
import opercle.analysis.monitor.MonitorTrouble;

/** A call as an alert of the Common Alerting Protocol 1.2 (OASIS, 1 July 2010). Private, always. */
final class CapXml {

  private static final String NAMESPACE = "urn:oasis:names:tc:emergency:cap:1.2";
  // The standard wants an offset in digits, and no fraction of a second.
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss'-00:00'").withZone(ZoneOffset.UTC);
  private static final double AN_HOUR_MINUTES = 60;
  private static final double NO_TIME_MINUTES = 5;

  /** Calls are repeated every quarter of an hour at the least, while nobody has it. */
  private static final Duration SUPERSEDED_WITHIN = Duration.ofMinutes(20);

  private final XMLStreamWriter xml;
  private final Message message;

  private CapXml(XMLStreamWriter xml, Message message) {
    this.xml = xml;
    this.message = message;
  }

  static String of(Message message) {
    StringWriter text = new StringWriter();
    try {
      XMLStreamWriter xml = XMLOutputFactory.newInstance().createXMLStreamWriter(text);
      new CapXml(xml, message).alert();
      xml.close();
    } catch (XMLStreamException e) {
      throw new IllegalStateException("writing to a string cannot fail", e);
    }
    return text.toString();
  }

  private void alert() throws XMLStreamException {
    Call call = message.call();
    xml.writeStartDocument("UTF-8", "1.0");
    xml.writeStartElement("alert");
    xml.writeDefaultNamespace(NAMESPACE);
    element("identifier", call.identifier());
    element("sender", sender());
    element("sent", TIME.format(call.sent()));
    element("status", call.kind() == Call.Kind.TEST ? "Test" : "Actual");
    element("msgType", messageType());
    element("scope", "Private");
    element("addresses", plain(call.person()));
    if (!call.earlier().isEmpty()) {
      element("references", call.earlier().stream().map(this::reference).collect(joining(" ")));
    }
    if (!call.about().isEmpty()) {
      element("incidents", incident(call.about().get(0)));
    } else if (!call.occurrence().isEmpty()) {
      element("incidents", call.occurrence().replaceAll("[ /]", "-"));
    }
    if (call.kind() == Call.Kind.TEST) {
      test();
    }
    for (AlarmEvent event : call.about()) {
      info(event);
    }
    for (MonitorTrouble trouble : call.troubles()) {
      info(trouble);
    }
    xml.writeEndElement();
    xml.writeEndDocument();
  }

  /**
   * An alert takes the place of those before it, or calls them off; where this receiver was handed
   * none there is nothing to name, and the standard wants a name for either.
   */
  private String messageType() {
    if (message.call().earlier().isEmpty()) {
      return "Alert";
    }
    return message.call().kind() == Call.Kind.ENDED ? "Cancel" : "Update";
  }

  private String sender() {
    return "opercle-" + plain(message.farm());
  }

  private String reference(Earlier earlier) {
    return sender() + "," + earlier.identifier() + "," + TIME.format(earlier.sent());
  }

  private void test() throws XMLStreamException {
    xml.writeStartElement("info");
    element("category", "Infra");
    element("event", "TEST");
    element("responseType", "None");
    element("urgency", "Unknown");
    element("severity", "Unknown");
    element("certainty", "Unknown");
    element("headline", message.subject());
    element("description", message.body());
    xml.writeEndElement();
  }

  private void info(AlarmEvent event) throws XMLStreamException {
    boolean over = message.call().kind() == Call.Kind.ENDED || message.call().isOver(event);
    xml.writeStartElement("info");
    element("language", "en");
    element("category", "Infra");
    element("event", AlarmGuide.of(event.cause()).title());
    element("responseType", responseType(over));
    element("urgency", over ? "Past" : urgency(event));
    element("severity", severity(event));
    element("certainty", over ? "Observed" : certainty(event.cause()));
    expires();
    element("senderName", message.farm());
    element("headline", message.subject());
    element("description", event.message());
    element("instruction", over ? "Look at the tank in the morning." : event.message());
    link();
    parameter("tank", event.tank());
    parameter("cause", event.cause().id());
    if (event.timeInHandMinutes().isPresent()) {
      parameter(
          "minutesInHand",
          String.format(Locale.ROOT, "%.1f", event.timeInHandMinutes().getAsDouble()));
    }
    xml.writeStartElement("area");
    element("areaDesc", message.farm() + ", tank " + event.tank());
    xml.writeEndElement();
    xml.writeEndElement();
  }

  private void info(MonitorTrouble trouble) throws XMLStreamException {
    boolean over = message.call().kind() == Call.Kind.ENDED || message.call().isOver(trouble);
    xml.writeStartElement("info");
    element("language", "en");
    element("category", "Infra");
    element("event", MonitorWords.title(trouble));
    element("responseType", responseType(over));
    element("urgency", over ? "Past" : message.call().isUrgent() ? "Expected" : "Future");
    element("severity", message.call().isUrgent() ? "Severe" : "Moderate");
    element("certainty", "Observed");
    expires();
    element("senderName", message.farm());
    element("headline", message.subject());
    element("description", MonitorWords.message(trouble) + " " + trouble.words());
    element("instruction", over ? "Look at the pages for what came meanwhile." : trouble.action());
    link();
    parameter("trouble", trouble.key().id());
    xml.writeStartElement("area");
    element("areaDesc", message.farm());
    xml.writeEndElement();
    xml.writeEndElement();
  }

  /** Whoever hears that another has it need do nothing, but may be asked. */
  private String responseType(boolean over) {
    if (over) {
      return "AllClear";
    }
    return message.call().kind() == Call.Kind.TAKEN ? "Monitor" : "Execute";
  }

  private static String urgency(AlarmEvent event) {
    double minutes = event.timeInHandMinutes().orElse(AN_HOUR_MINUTES);
    if (event.priority() == Priority.HIGH && minutes < AN_HOUR_MINUTES / 2) {
      return "Immediate";
    }
    return event.priority() == Priority.LOW ? "Future" : "Expected";
  }

  private static String severity(AlarmEvent event) {
    return switch (event.priority()) {
      case HIGH ->
          event.timeInHandMinutes().orElse(AN_HOUR_MINUTES) < NO_TIME_MINUTES
              ? "Extreme"
              : "Severe";
      case MEDIUM -> "Moderate";
      case LOW -> "Minor";
    };
  }

  /**
   * Read off a probe or a meter, or concluded from what they read: then more likely than not, which
   * is the standard's <i>Likely</i>, or it would not be told. An event carries no finer odds.
   */
  static String certainty(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED, OXYGEN_LOW, OXYGEN_HIGH, PROBE_SILENT -> "Observed";
      case GAS_NOT_REACHING_WATER,
          OXYGEN_FALLING,
          CYLINDER_LOW,
          WATER_WARM,
          OXYGEN_UNEVEN,
          PROBE_SUSPECT,
          LOAD_TOO_HEAVY,
          HELD_TOO_LONG,
          WASTE_HIGH ->
          "Likely";
    };
  }

  /**
   * A call that is repeated while it lasts says so no longer than until the next is overdue. Nor
   * does what somebody has: its end is told to nobody, and if it gets worse a call follows.
   */
  private void expires() throws XMLStreamException {
    if (message.call().isUrgent() || message.call().kind() == Call.Kind.TAKEN) {
      element("expires", TIME.format(message.call().sent().plus(SUPERSEDED_WITHIN)));
    }
  }

  /** Where a person says that they have it. */
  private void link() throws XMLStreamException {
    if (message.link().isPresent()) {
      element("web", message.link().get().toString());
    }
  }

  private static String incident(AlarmEvent event) {
    return event.tank() + "-" + event.cause().id() + "-" + event.since().toEpochMilli();
  }

  /** Identifiers and addresses hold no blanks, commas or markup. */
  private static String plain(String name) {
    return name.replaceAll("[\\s,<&]+", "-");
  }

  private void parameter(String name, String value) throws XMLStreamException {
    xml.writeStartElement("parameter");
    element("valueName", name);
    element("value", value);
    xml.writeEndElement();
  }

  private void element(String name, String text) throws XMLStreamException {
    xml.writeStartElement(name);
    xml.writeCharacters(text);
    xml.writeEndElement();
  }
}
