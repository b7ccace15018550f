// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.StringReader;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javax.xml.parsers.DocumentBuilderFactory;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.calling.Call;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.w3c.dom.Element;
import org.w3c.dom.Node;
import org.xml.sax.InputSource;

/** Against the Common Alerting Protocol 1.2 (OASIS, 1 July 2010), section 3.2: order and words. */
class CapXmlTest {

  private static final List<String> ALERT =
      List.of(
          "identifier sender sent status msgType source scope restriction addresses code note"
              .concat(" references incidents info")
              .split(" "));
  private static final List<String> INFO =
      List.of(
          "language category event responseType urgency severity certainty audience eventCode"
              .concat(" effective onset expires senderName headline description instruction web")
              .concat(" contact parameter resource area")
              .split(" "));
  private static final List<String> CERTAINTY =
      List.of("Observed", "Likely", "Possible", "Unlikely", "Unknown");

  private static Element alert(Message message) throws Exception {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setNamespaceAware(true);
    return factory
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(CapXml.of(message))))
        .getDocumentElement();
  }

  private static List<String> children(Element of) {
    List<String> names = new ArrayList<>();
    for (Node n = of.getFirstChild(); n != null; n = n.getNextSibling()) {
      names.add(n.getLocalName());
    }
    return names;
  }

  private static String text(Element of, String name) {
    return of.getElementsByTagNameNS("*", name).item(0).getTextContent();
  }

  private static boolean has(Element of, String name) {
    return of.getElementsByTagNameNS("*", name).getLength() > 0;
  }

  private static void keepsTheOrder(List<String> names, List<String> order) {
    assertThat(order).containsAll(names);
    assertThat(names.stream().map(order::indexOf)).isSorted();
  }

  @ParameterizedTest
  @EnumSource(value = Call.Kind.class, names = "MONITOR", mode = EnumSource.Mode.EXCLUDE)
  void everyKind_keepsTheStandardsOrderOfElements(Call.Kind kind) throws Exception {
    Element alert = alert(Made.message(kind));
    Element info = (Element) alert.getElementsByTagNameNS("*", "info").item(0);

    keepsTheOrder(children(alert), ALERT);
    keepsTheOrder(children(info), INFO);
    assertThat(CERTAINTY).contains(text(info, "certainty"));
  }

  @Test
  void callForTheMonitor_keepsItToo() throws Exception {
    Element alert =
        alert(
            new Words(Made.farm())
                .message(
                    Made.monitorCall(
                        Call.Kind.MONITOR,
                        Optional.empty(),
                        Made.trouble(TroubleKind.DISK_FULL, "The disk is full.")),
                    Optional.empty()));
    Element info = (Element) alert.getElementsByTagNameNS("*", "info").item(0);

    keepsTheOrder(children(alert), ALERT);
    keepsTheOrder(children(info), INFO);
    assertThat(text(info, "expires")).isEqualTo("2026-03-14T02:31:07-00:00");
  }

  /** What a meter or a probe says is observed; what is concluded is likely. */
  @ParameterizedTest
  @CsvSource({
    "GAS_LINE_STOPPED, Observed",
    "OXYGEN_LOW, Observed",
    "OXYGEN_HIGH, Observed",
    "PROBE_SILENT, Observed",
    "GAS_NOT_REACHING_WATER, Likely",
    "OXYGEN_FALLING, Likely",
    "WASTE_HIGH, Likely"
  })
  void certainty_followsFromHowItIsKnown(AlarmCause cause, String certainty) {
    assertThat(CapXml.certainty(cause)).isEqualTo(certainty);
  }

  @Test
  void callThatIsRepeated_expires_andWhatIsToldOnceDoesNot() throws Exception {
    assertThat(text(alert(Made.message(Call.Kind.ALARM)), "certainty")).isEqualTo("Observed");
    assertThat(text(alert(Made.message(Call.Kind.ALARM)), "expires"))
        .isEqualTo("2026-03-14T02:31:07-00:00");
    assertThat(has(alert(Made.message(Call.Kind.NOTICE)), "expires")).isFalse();
    assertThat(text(alert(Made.message(Call.Kind.ENDED)), "certainty")).isEqualTo("Observed");
    assertThat(has(alert(Made.message(Call.Kind.ENDED)), "expires")).isFalse();
  }
}
