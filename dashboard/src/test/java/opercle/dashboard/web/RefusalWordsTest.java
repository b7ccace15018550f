// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Whatever a form is refused for, the page that sent it shows a sentence that a keeper can read: no
 * id, no name of a field, no word of programs. Every form is sent as its page sends it, and then
 * once for each of its values and each way in which that can be wrong.
 */
class RefusalWordsTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  /** Of all that is wrong with a form at once. */
  private static final int LONGEST_SHOWN = 800;

  /** What no tank, entry, person or trip is called. */
  private static final String GONE = "zz9-gone";

  private static final List<JsonNode> WRONG =
      of(
          "''",
          "'twenty'",
          "'two\\nlines'",
          "'" + "long words ".repeat(250) + "'",
          "-1",
          "1e9",
          "2.5");

  /** Of what the page sends as text: the name of something that was there, and no text at all. */
  private static final List<JsonNode> WRONG_TEXT = of("'" + GONE + "'", "true");

  private static final List<JsonNode> WRONG_TIME =
      of("'1999-01-01T00:00:00Z'", "'2099-01-01T00:00:00Z'", "'2026-13-01'", "'2099-01-01'");

  /**
   * An id of the farm, a name that only a program uses, a word that only those who made it know.
   */
  private static final List<Pattern> NOT_FOR_KEEPERS =
      Stream.of(
              "(?<!(called|was) '|user )" + GONE, // but what a person has typed may be said to them
              "(?<!was )'[a-z]+[A-Za-z]*'",
              "^(?!pH)[a-z]\\w*[:.]",
              "What was sent",
              "\\b([hq]\\d|t1)\\b",
              "\\b(under-way|seen|seen-in|seen-out)\\b(?<!last )",
              "\\b(water-stew|water-long|permit-|move-|check-carp|feed-0|test-0|bath-0)",
              "\\b[a-z]+[A-Z][a-z]+\\w*",
              "/api/",
              "#/",
              "(?<!was ')\\d{4}-\\d\\d-\\d\\dT",
              "(?i)\\b(json|base64|utf-8|http|content-type|webhook|push|endpoint|pointer|ids?|null|"
                  + "object|array|body|bytes|string|boolean|integer|exception|java|process|field|"
                  + "corrects|serve|analyse)\\b")
          .map(Pattern::compile)
          .toList();

  private static final Pattern WORDS_OF_PROGRAMS =
      Pattern.compile(
          "\\b("
              + String.join(
                  "|",
                  Stream.of(
                          Stream.of(Species.values()).map(Species::id),
                          Stream.of(Tank.Diffuser.values()).map(Tank.Diffuser::id),
                          Stream.of(Entry.Kind.values()).map(Entry.Kind::id),
                          Stream.of(AlarmCause.values()).map(AlarmCause::id),
                          Stream.of(TankEvent.Kind.values()).map(TankEvent.Kind::id))
                      .flatMap(ids -> ids)
                      .filter(id -> id.contains("-"))
                      .filter(id -> !id.equals("top-up")) // so it is called
                      .toList())
              + ")\\b");

  @TempDir private static Path folder;
  private static GuardedFarm guarded;

  @BeforeAll
  static void open() throws Exception {
    guarded = GuardedFarm.in(folder);
  }

  @AfterAll
  static void close() {
    guarded.close();
  }

  @ParameterizedTest(name = "{0} {1}")
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '`',
      value = {
        // what is done about an alarm
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | {'by':'Tove'}",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/silence | {'by':'Tove'}",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/shelve | {'by':'Tove','minutes':30}",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/unshelve | {'by':'Tove'}",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/verdict | {'by':'Tove','since':'2026-03-14T02:09:32Z','wasTrue':true}",
        "POST | /api/v1/tanks/h2/out-of-service | {'by':'Tove','reason':'new hose','minutes':30,'cause':'gas-line-stopped'}",
        "POST | /api/v1/tanks/h2/return-to-service | {'by':'Tove','cause':'gas-line-stopped'}",
        "POST | /api/v1/tanks/h2/events | {'by':'Tove','kind':'fed','id':'n-1'}",
        "POST | /api/v1/monitor/troubles/h2/have | {'by':'Tove'}",
        // what was done and measured at a tank
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-1','kind':'hand-check','fields':{'fish':'restless','oxygenMgPerL':7.5,'temperatureC':12,'time':'2026-03-14T01:00:00Z','note':'a'},'corrects':'feed-0001','why':'wrong'}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-2','kind':'feed','fields':{'kg':0.3,'proteinPercent':42,'note':'a'}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-3','kind':'water-change','fields':{'litres':300,'note':'a'}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-4','kind':'salt','fields':{'kg':3,'reason':'moved'}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-5','kind':'top-up','fields':{'litres':30,'lost':'evaporated','saltKg':0.1}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-6','kind':'water-test','fields':{'tanMgPerL':0.5,'ph':7.4,'carbonDioxideMgPerL':9,'alkalinityMgPerL':120,'salinityGPerKg':1.5,'temperatureC':12}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-7','kind':'treatment','fields':{'what':'a bath','amount':'20 mL','reason':'tufts','withdrawal':'none','until':'2026-04-01'}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-8','kind':'moved','fields':{'to':'h3','species':'Tench','kg':3}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-9','kind':'cleaning','fields':{'note':'a'}}",
        "POST | /api/v1/tanks/h2/work | {'by':'Tove','id':'w-10','kind':'feed','fields':{'kg':0.3},'corrects':'feed-0001','why':'never','withdraws':true}",
        "POST | /api/v1/tanks/h2/done/feed-0001/photo | {'by':'Tove','picture':'AAAA'}",
        "GET | /api/v1/tanks/h2/salt?litres=100&targetGPerL=2&nowGPerL=1&temperatureC=12 | {}",
        "GET | /api/v1/tanks/h2/water-change?of=ammonia&now=2&target=1&fresh=0 | {}",
        "GET | /api/v1/tanks/h2/top-up?litres=50&lost=evaporated&targetGPerL=2 | {}",
        "GET | /api/v1/tanks/h2/top-up?cm=5 | {}",
        // fish in and out
        "POST | /api/v1/tanks/h2/fish | {'by':'Tove','basedOn':1,'do':'add','species':'tench','kg':5,'count':6,'since':'2026-03-13T10:00:00Z'}",
        "POST | /api/v1/tanks/h2/fish | {'by':'Tove','basedOn':1,'do':'take','species':'common-carp','kg':1,'count':1,'into':'h3'}",
        "POST | /api/v1/tanks/h2/fish | {'by':'Tove','basedOn':1,'do':'empty'}",
        // the records
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-1','kind':'water','fields':{'name':'Reed Pool','type':'pond','site':'Sallowmere','place':'a','holder':'b','tank':'h2','connection':'connected','note':'c'}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-2','kind':'party','fields':{'name':'Reed Farm','contact':'a','note':'b'}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-3','kind':'permit','fields':{'type':'supplier-permit','reference':'SU-9','water':'water-stew-2','from':'2026-01-01','until':'2026-12-01','seen':'2026-02-01'}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-4','kind':'health-check','fields':{'reference':'HC-90','water':'water-stew-2','species':'Tench','sampled':'2026-01-10','consultant':'a','until':'2027-01-10'}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-5','kind':'health-rule','fields':{'farmedTroutAndSalmonMonths':4,'otherMonths':12}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-6','kind':'retention-rule','fields':{'years':4}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-7','kind':'movement','fields':{'species':'Tench','count':10,'kg':9,'from':'water-stew-2','to':'water-long','departs':'2026-03-11T08:00:00Z','arrives':'2026-03-11T09:00:00Z','died':0,'carrier':'a','vehicle':'b','distanceKm':20,'supplier':'c','receiver':'d','permits':['permit-farm'],'healthChecks':['check-carp'],'consignmentNote':'e','advanceNotice':'f','disinfection':'g','waterChanged':'h','note':'i'}}",
        "POST | /api/v1/records/entries | {'by':'Tove','id':'r-8','kind':'water','fields':{'name':'Stew 2','type':'pond'},'corrects':'water-stew-2','why':'never','withdraws':true}",
        "POST | /api/v1/records/check | {'fields':{'species':'Tench','count':10,'kg':9,'from':'water-stew-2','to':'water-long','departs':'2026-03-11T08:00:00Z','arrives':'2026-03-11T09:00:00Z'}}",
        "GET | /api/v1/records/trace?movement=move-sold-carp&way=backwards | {}",
        "GET | /api/v1/records/trace?water=water-stew-2&way=forwards&at=2026-03-11T08:00:00Z&species=Tench | {}",
        "GET | /api/v1/records/movements?year=2026 | {}",
        // trips
        "POST | /api/v1/trips | {'by':'Tove','id':'trip-1','time':'2026-03-14T02:00:00Z','tank':'t1','kind':'road','vehicle':'a','from':'b','to':'c','load':[{'species':'tench','kg':20,'count':30}],'expectedMinutes':60,'cylinderBar':150,'temperatureC':11,'movementRecord':'move-sold-carp'}",
        "POST | /api/v1/trips | {'by':'Tove','id':'night-1','time':'2026-03-13T20:00:00Z','until':'2026-03-14T01:00:00Z','tank':'h2','kind':'night'}",
        "POST | /api/v1/trips | {'by':'Tove','id':'trip-2','time':'2026-03-14T02:00:00Z','tank':'t1','plan':{'load':[{'species':'tench','kg':20}],'waterLitres':650,'temperatureC':12,'minutes':60,'gas':'oxygen','diffuser':'ceramic'}}",
        "POST | /api/v1/trips/h2/checks | {'by':'Tove','id':'k-1','time':'2026-03-11T02:30:00Z','fish':'restless','oxygenMgPerL':8,'temperatureC':11,'gasLPerMin':2,'note':'a'}",
        "POST | /api/v1/trips/h2/unloading | {'by':'Tove','id':'u-1','time':'2026-03-11T03:30:00Z','losses':[{'species':'common-carp','count':1,'kg':2}],'cylinderBar':80,'note':'a'}",
        "POST | /api/v1/trips/h2/corrections | {'by':'Tove','id':'k-2','kind':'check','corrects':'c1','time':'2026-03-11T02:30:00Z','fish':'restless'}",
        "POST | /api/v1/trips/h2/withdrawal | {'by':'Tove','id':'wd-1','time':'2026-03-14T02:00:00Z','why':'never'}",
        "POST | /api/v1/trips/h2/checks/c1/photo | {'by':'Tove','picture':'AAAA'}",
        "POST | /api/v1/trips/import | {'opercle':'trip','version':1}",
        "GET | /api/v1/trips?before=2026-03-14T02:00:00Z&most=20&minutes=60 | {}",
        "GET | /api/v1/trips/h2 | {}",
        "GET | /api/v1/trips/rates?species=tench&temperatureC=12&meanMassKg=1 | {}",
        // plans
        "POST | /api/v1/plan | {'load':[{'species':'tench','kg':20,'meanMassKg':1}],'waterLitres':650,'temperatureC':12,'riseC':1,'minutes':60,'gas':'oxygen','diffuser':'ceramic','flowLPerMin':2,'depthM':0.7,'cylinder':{'waterLitres':20,'bar':200,'count':1},'reserveBar':50,'responseMinutes':10,'altitudeM':10,'handling':'careful','feeding':'unfed'}",
        // tanks, probes and people
        "PUT | /api/v1/setup/tanks/n1 | {'by':'Tove','isNew':true,'tank':{'name':'New tank','kind':'holding','waterLitres':900,'depthM':0.8,'supply':{'gas':'air','source':'blower','diffuser':'air-stone','flowLPerMin':30},'floors':{'keepMgPerL':6,'criticalMgPerL':4},'holding':{'days':5,'freshLPerHour':20,'ph':7.5,'alkalinityMgPerL':90},'responseMinutes':15}}",
        "PUT | /api/v1/setup/tanks/h3 | {'by':'Tove','basedOn':1,'tank':{'name':'Holding 3','kind':'transport','waterLitres':900,'supply':{'gas':'oxygen','source':'cylinder','diffuser':'ceramic','flowLPerMin':3,'cylinder':{'waterLitres':20,'fullBar':200}}}}",
        "POST | /api/v1/setup/tanks/h1/remove | {'by':'Tove'}",
        "POST | /api/v1/setup/topics | {'by':'Tove','topic':'shed/probe7/do','pointer':'','tank':'h1','quantity':'oxygen'}",
        "POST | /api/v1/setup/topics/take-back | {'by':'Tove','topic':'shed/probe7/do','pointer':''}",
        "PUT | /api/v1/setup/people/Maren | {'by':'Tove','basedOn':1,'place':1,'person':{'name':'Maren','hours':{'from':'22:00','to':'06:00'},'channels':[{'mail':'maren@example.org'},{'webhook':{'url':'https://fish.example.org/x','secret':'a secret that is long enough','format':'json'}},'push']}}",
        "PUT | /api/v1/setup/people/Gesa | {'by':'Tove','basedOn':1,'isNew':true,'person':{'name':'Gesa','channels':['push']}}",
        "POST | /api/v1/setup/people/Maren/remove | {'by':'Tove','basedOn':1}",
        "PUT | /api/v1/people/Maren/driving | {'driving':true}",
        "POST | /api/v1/people/Maren/test | {'channel':'mail'}",
        // this device, and who may come in
        "POST | /api/v1/push/subscriptions | {'by':'Tove','endpoint':'https://127.0.0.1:1/x','keys':{'p256dh':'a','auth':'b'}}",
        "DELETE | /api/v1/push/subscriptions | {'endpoint':'https://127.0.0.1:1/x'}",
        "POST | /api/v1/push/test | {'endpoint':'https://127.0.0.1:1/x'}",
        "POST | /api/v1/session | {'name':'Maren','password':'not the one'}",
        "PUT | /api/v1/session/password | {'old':'not the one','password':'another one that is long'}",
        "POST | /api/v1/users | {'name':'Gesa','role':'keep','password':'another one that is long'}",
        "PUT | /api/v1/users/Gesa/role | {'role':'look'}",
        "PUT | /api/v1/users/Gesa/password | {'password':'another one that is long'}",
        "POST | /api/v1/tokens | {'name':'The display','role':'look'}",
        "GET | /api/v1/alarms?from=2026-03-13T00:00:00Z&to=2026-03-14T00:00:00Z&most=20 | {}",
        "GET | /api/v1/alarms/figures?week=2026-W10 | {}",
        "GET | /api/v1/tanks/h2/trace?from=2026-03-13T00:00:00Z&to=2026-03-14T00:00:00Z&points=300&quantity=oxygen | {}",
      })
  void whateverIsWrong_isSaidInWordsForKeepers(String method, String path, String sent)
      throws Exception {
    Set<String> unread = new LinkedHashSet<>();
    int refused = 0;
    for (String address : addresses(path)) {
      for (JsonNode body : bodies(read(sent.replace('\'', '"')))) {
        HttpResponse<String> answer =
            guarded.send(
                method, address, method.equals("GET") ? "" : JSON.writeValueAsString(body));
        assertThat(answer.statusCode()).as(answer.body()).isNotEqualTo(500);
        if (answer.statusCode() >= 400) {
          refused++;
          for (String shown : shown(JSON.readTree(answer.body()))) {
            wrongIn(shown).ifPresent(bit -> unread.add("“%s” in: %s".formatted(bit, shown)));
          }
        }
      }
    }
    assertThat(unread).isEmpty();
    assertThat(refused).as("refusals that were read").isPositive();
  }

  /** A search that finds nothing anywhere would pass, too. */
  @Test
  void wordsForPrograms_areFound() {
    for (String words :
        List.of(
            "'by' must be the name of a person; see #/by.",
            "waterLitres: must be 1–100 L.",
            "This farm has no tank 'h9'.",
            "one of common-carp, tench",
            "since 2026-03-14T02:00:00Z",
            "The webhook does not answer.",
            "The body is not well-formed JSON.")) {
      assertThat(wrongIn(words)).as(words).isPresent();
    }
    for (String words :
        List.of(
            "Water by hand meter: must be 0–35 °C.",
            "pH: must be 4–10.",
            "Holding 2 has no such alarm standing now. It may have cleared.",
            "Oxygen: must be 0–60 mg/L.")) {
      assertThat(wrongIn(words)).as(words).isEmpty();
    }
  }

  /** The first bit of a sentence that is not for those who keep fish. */
  static Optional<String> wrongIn(String words) {
    if (words.length() > LONGEST_SHOWN) {
      return Optional.of("so many words");
    }
    return Stream.concat(NOT_FOR_KEEPERS.stream(), Stream.of(WORDS_OF_PROGRAMS))
        .map(pattern -> pattern.matcher(words))
        .filter(Matcher::find)
        .map(Matcher::group)
        .findFirst();
  }

  /** All that a page may show of a refusal: at the fields, and beside them (fields.js). */
  private static List<String> shown(JsonNode problem) {
    List<String> shown = new ArrayList<>();
    shown.add(problem.path("detail").asText());
    for (JsonNode error : problem.path("errors")) {
      shown.add(error.path(error.has("told") ? "told" : "detail").asText());
      String key = error.path("field").asText("-") + ": ";
      String detail = error.path("detail").asText();
      if (detail.startsWith(key) && !detail.contains(Problem.CHOICE)) {
        shown.add(detail.substring(key.length()));
      }
      if (!error.path("limit").asText("").startsWith(Problem.CHOICE)) {
        shown.add(error.path("limit").asText(""));
      }
      shown.add(error.path("unit").asText(""));
    }
    return shown;
  }

  /** The address, and the same with each thing that it names gone or each value wrong. */
  private static List<String> addresses(String path) {
    List<String> all = new ArrayList<>(List.of(path));
    Matcher named =
        Pattern.compile(
                "(?<=/tanks/|/trips/|/people/|/users/|/troubles/|/alarms/|/checks/|/done/)[^/?]+")
            .matcher(path);
    while (named.find()) {
      all.add(path.substring(0, named.start()) + GONE + "-too" + path.substring(named.end()));
    }
    Matcher asked = Pattern.compile("(?<=[?&]\\w{1,20}=)[^&]*").matcher(path);
    while (asked.find()) {
      for (String wrong : List.of("", GONE, "-1", "1e9", "2.5", "twenty")) {
        all.add(path.substring(0, asked.start()) + wrong + path.substring(asked.end()));
      }
    }
    return all;
  }

  /** What is sent, and the same with each value left out or wrong. */
  private static List<JsonNode> bodies(JsonNode sent) {
    List<JsonNode> all = new ArrayList<>(List.of(sent));
    for (String pointer : pointers("", sent)) {
      JsonNode without = sent.deepCopy();
      remove(without, pointer);
      all.add(without);
      JsonNode value = sent.at(pointer);
      List<JsonNode> wrong = new ArrayList<>(WRONG);
      if (value.isTextual()) {
        wrong.addAll(value.textValue().startsWith("2026-") ? WRONG_TIME : WRONG_TEXT);
      }
      for (JsonNode one : wrong) {
        JsonNode other = sent.deepCopy();
        put(other, pointer, one);
        all.add(other);
      }
    }
    return all;
  }

  private static List<String> pointers(String at, JsonNode node) {
    List<String> all = new ArrayList<>();
    node.properties()
        .forEach(
            field -> {
              String pointer = at + "/" + field.getKey();
              all.add(pointer);
              all.addAll(pointers(pointer, field.getValue()));
            });
    for (int i = 0; node.isArray() && i < node.size(); i++) {
      all.add(at + "/" + i);
      all.addAll(pointers(at + "/" + i, node.get(i)));
    }
    return all;
  }

  private static void remove(JsonNode node, String pointer) {
    JsonNode parent = node.at(pointer.substring(0, pointer.lastIndexOf('/')));
    String name = pointer.substring(pointer.lastIndexOf('/') + 1);
    if (parent instanceof ObjectNode object) {
      object.remove(name);
    } else if (parent instanceof ArrayNode array) {
      array.remove(Integer.parseInt(name));
    }
  }

  private static void put(JsonNode node, String pointer, JsonNode value) {
    JsonNode parent = node.at(pointer.substring(0, pointer.lastIndexOf('/')));
    String name = pointer.substring(pointer.lastIndexOf('/') + 1);
    if (parent instanceof ObjectNode object) {
      object.set(name, value);
    } else if (parent instanceof ArrayNode array) {
      array.set(Integer.parseInt(name), value);
    }
  }

  private static List<JsonNode> of(String... values) {
    return Stream.of(values).map(text -> read(text.replace('\'', '"'))).toList();
  }

  private static JsonNode read(String json) {
    try {
      return JSON.readTree(json);
    } catch (java.io.IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }
}
