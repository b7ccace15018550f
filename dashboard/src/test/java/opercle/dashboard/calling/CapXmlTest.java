// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.StringReader;
import java.util.List;
import java.util.Optional;
import javax.xml.parsers.DocumentBuilderFactory;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Earlier;
import opercle.analysis.monitor.TroubleKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.w3c.dom.Element;
import org.xml.sax.InputSource;

/** Against the Common Alerting Protocol 1.2 (OASIS, 1 July 2010), as {@link CapRules} has it. */
class CapXmlTest {

  private static Element alert(Message message) throws Exception {
    return parsed(CapXml.of(message));
  }

  private static Element parsed(String text) throws Exception {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setNamespaceAware(true);
    return factory
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(text)))
        .getDocumentElement();
  }

  private static String text(Element of, String name) {
    return of.getElementsByTagNameNS("*", name).item(0).getTextContent();
  }

  private static boolean has(Element of, String name) {
    return of.getElementsByTagNameNS("*", name).getLength() > 0;
  }

  @ParameterizedTest
  @EnumSource(value = Call.Kind.class, names = "MONITOR", mode = EnumSource.Mode.EXCLUDE)
  void everyKind_keepsToTheStandard(Call.Kind kind) throws Exception {
    Element alert = alert(Made.message(kind));

    assertThat(CapRules.broken(alert)).isEmpty();
    assertThat(text(alert, "msgType")).isEqualTo("Alert");
    assertThat(has(alert, "references")).isFalse();
  }

  @ParameterizedTest
  @CsvSource({"ALARM, Update", "TAKEN, Update", "ENDED, Cancel"})
  void messageAfterOthers_namesThem_asASenderAnIdentifierAndATime(Call.Kind kind, String type)
      throws Exception {
    Call call = following(Made.call(kind, false));

    Element alert = alert(new Words(Made.farm()).message(call, Optional.empty()));

    assertThat(CapRules.broken(alert)).isEmpty();
    assertThat(text(alert, "msgType")).isEqualTo(type);
    assertThat(text(alert, "references"))
        .isEqualTo(
            "opercle-Sallowmere,first,2026-03-14T02:11:07-00:00"
                + " opercle-Sallowmere,first.1773454270000,2026-03-14T02:11:10-00:00");
    assertThat(text(alert, "incidents")).startsWith("h2-gas-line-stopped-");
  }

  /** What names it and when it was sent are those of its words, not of the first try. */
  @Test
  void callInOtherWords_isAnotherMessage() throws Exception {
    Element alert =
        alert(
            new Words(Made.farm())
                .message(following(Made.call(Call.Kind.ALARM, false)), Optional.empty()));

    assertThat(text(alert, "identifier"))
        .isEqualTo("11111111-2222-3333-4444-555555555555.1773454273000");
    assertThat(text(alert, "sent")).isEqualTo("2026-03-14T02:11:13-00:00");
    assertThat(text(alert, "expires")).isEqualTo("2026-03-14T02:31:13-00:00");
  }

  private static Call following(Call call) {
    return new Call(
        call.key(),
        call.person(),
        call.channel(),
        call.kind(),
        call.made(),
        call.driving(),
        call.number(),
        call.about(),
        call.troubles(),
        "h2/gas-line-stopped/1773454267000",
        call.by(),
        call.over(),
        Optional.of(Made.NIGHT.plusSeconds(6)),
        List.of(
            new Earlier("first", Made.NIGHT),
            new Earlier("first.1773454270000", Made.NIGHT.plusSeconds(3))));
  }

  /** The rules themselves must be able to say no. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "<msgType>Alert|<msgType>Update|3.2.1: msgType Update wants references",
        "-00:00</sent>|Z</sent>|3.3.2: 2026-03-14T02:11:07Z is no time for sent",
        "<scope>Private</scope>|<scope>Public</scope><scope>Public</scope>|3.2.1: 2 of scope in alert",
        "<certainty>Observed</certainty>|<certainty>Sure</certainty>|3.2.2: Sure is no word for certainty",
        "<language>en</language>||3.2.2: language is out of order",
        "<identifier>|<identifier>a b|3.2.1: identifier holds a blank, a comma or markup",
        "<incidents>|<references>x,y</references><incidents>|3.2.1: references hold"
      })
  void documentThatBreaksTheStandard_isFound(String what, String by, String broken)
      throws Exception {
    String with = by == null ? "" : by;
    String text = CapXml.of(Made.message(Call.Kind.ALARM));
    String spoiled =
        by == null
            ? text.replace(what, with).replace("<event>", what + "<event>")
            : text.replace(what, with);

    assertThat(spoiled).isNotEqualTo(text);
    assertThat(CapRules.broken(parsed(spoiled))).anyMatch(b -> b.startsWith(broken));
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

    assertThat(CapRules.broken(alert)).isEmpty();
    assertThat(text(alert, "expires")).isEqualTo("2026-03-14T02:31:07-00:00");
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
    assertThat(has(alert(Made.message(Call.Kind.TAKEN)), "expires")).isTrue();
    assertThat(has(alert(Made.message(Call.Kind.NOTICE)), "expires")).isFalse();
    assertThat(text(alert(Made.message(Call.Kind.ENDED)), "certainty")).isEqualTo("Observed");
    assertThat(has(alert(Made.message(Call.Kind.ENDED)), "expires")).isFalse();
  }
}
