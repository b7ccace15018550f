// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.dashboard.calling.CallBook;
import opercle.dashboard.calling.CallingApi;
import opercle.dashboard.calling.CallingService;
import opercle.dashboard.calling.KeptPeople;
import opercle.dashboard.push.PushTestDesk;
import opercle.dashboard.web.ApiDocument.Operation;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The document of the addresses, against the addresses that there are and what they answer. */
class OpenApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  /** A servlet beside the routes; it does not end, so it is looked at apart. */
  private static final String LIVE = "GET /api/v1/live";

  @TempDir Path folder;
  private final HttpClient client = HttpClient.newHttpClient();
  private final FakeFarm farm = FakeFarm.troubled();
  private KeptAlarms kept;
  private FarmBook book;
  private CallingService calling;
  private PushTestDesk push;
  private KeptSetUp setUp;
  private KeptPeople people;
  private DashboardServer server;
  private ApiDocument document;

  @BeforeEach
  void start() throws Exception {
    kept = KeptAlarms.in(folder);
    book = FarmBook.open(folder.resolve("calls.db"));
    CallBook calls = new CallBook(book, "Sallowmere");
    calling =
        CallingService.start(
            farm.farm(),
            new CallingPlan(
                List.of(new Person("Maren", List.of("mail"), Optional.empty())),
                ZoneOffset.UTC,
                CallingPlan.USUAL_NIGHT,
                CallingPlan.USUAL_MORNING,
                CallingPlan.USUAL_PATIENCE,
                Optional.empty()),
            Map.of(new Target("Maren", "mail"), message -> new Delivery.Accepted("taken")),
            Optional.empty(),
            calls,
            () -> FakeFarm.NIGHT);
    setUp = KeptSetUp.in(folder, farm.farm());
    people =
        KeptPeople.in(
            folder, "people: [ { name: Maren, channels: [ push ] } ]", farm.farm(), FakeFarm.NIGHT);
    TripRecords trips = new TripRecords(kept.book(), "Sallowmere");
    trips.take(KeptTrips.splitLine("h2")); // every id in an address of this test is h2
    push = new PushTestDesk(Files.createDirectory(folder.resolve("push")));
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            kept.past(),
            Optional.of(push.desk()),
            List.of(
                new CallingApi(calling, calls),
                setUp.api(),
                new PeopleApi(people.desk),
                new TripRoutes(
                    farm,
                    new FakeTraces(),
                    kept.past(),
                    () -> Optional.of(trips),
                    () -> Optional.of(new RecordBook(book, "Sallowmere")),
                    () -> Optional.of(pictures()),
                    Optional::empty),
                new KeptRecords(book).api(),
                KeptHolding.in(book, farm, kept.past())));
    document = new ApiDocument(JSON.readTree(get("/api/v1/openapi.json").body()));
  }

  /** One with a check, and one with a treatment. */
  private PhotoRecords pictures() {
    PhotoRecords pictures = new PhotoRecords(book, "Sallowmere");
    for (String about : List.of("c3", "bath-0001")) {
      var unused = pictures.keep(about, FakeFarm.NIGHT, "Maren", "the same", new byte[] {1});
    }
    return pictures;
  }

  private static String entryOf(String path) {
    return path.contains("/trips/") ? "c3" : "bath-0001";
  }

  @AfterEach
  void stop() {
    server.close();
    calling.close();
    book.close();
    kept.close();
    push.close();
    setUp.close();
    people.close();
  }

  @Test
  void document_namesEveryAddressThatThereIs_andNoOther() {
    Set<String> there =
        server.routes().stream()
            .filter(route -> route.contains(" /api/"))
            .collect(Collectors.toCollection(TreeSet::new));
    there.add(LIVE);

    assertThat(document.operations()).extracting(Operation::toString).hasSameElementsAs(there);
    assertThat(there).as("that there is something to compare").hasSizeGreaterThan(31);
  }

  @Test
  void liveStream_isThere() throws Exception {
    HttpRequest head = request("/api/v1/live").method("HEAD", BodyPublishers.noBody()).build();

    assertThat(client.send(head, BodyHandlers.ofString()).headers().firstValue("Content-Type"))
        .contains("text/event-stream;charset=utf-8");
  }

  @Test
  void references_leadSomewhere() {
    assertThat(document.references()).hasSizeGreaterThan(100).allMatch(document::has);
  }

  @Test
  void everyAnswerThatIsRead_isAsItsSchemaSays() throws Exception {
    int looked = 0;
    for (Operation operation : document.operations()) {
      if (!operation.method().equals("GET") || operation.toString().equals(LIVE)) {
        continue;
      }
      HttpResponse<String> answer =
          get(operation.path().replace("{id}", "h2").replace("{entry}", entryOf(operation.path())));
      assertThat(answer.statusCode()).as(operation.toString()).isEqualTo(200);
      Optional<JsonNode> schema = document.answer(operation, "200");
      if (schema.isPresent()) {
        JsonNode body = JSON.readTree(answer.body());
        assertThat(document.faults(schema.get(), body)).as(operation.toString()).isEmpty();
        looked++;
      }
    }
    assertThat(looked).isGreaterThan(17);
  }

  @Test
  void answerThatIsNotAsItsSchemaSays_isFound() throws Exception {
    Operation tanks = operation("GET /api/v1/tanks");
    JsonNode schema = document.answer(tanks, "200").orElseThrow();
    var body = JSON.readTree(get("/api/v1/tanks").body());
    ((com.fasterxml.jackson.databind.node.ObjectNode) body.path("tanks").path(1).path("state"))
        .put("oxygenMgPerL", "8.3");

    assertThat(document.faults(schema, body)).singleElement().asString().contains("oxygenMgPerL");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "POST /api/v1/tanks/{id}/alarms/{cause}/acknowledge | {'by':'Maren'} | 204",
        "POST /api/v1/tanks/{id}/alarms/{cause}/silence | {'by':'Maren'} | 204",
        "POST /api/v1/tanks/{id}/alarms/{cause}/reset | {'by':'Maren'} | 204",
        "POST /api/v1/tanks/{id}/alarms/{cause}/shelve | {'by':'Maren','minutes':10} | 204",
        "POST /api/v1/tanks/{id}/alarms/{cause}/unshelve | {'by':'Maren'} | 204",
        "POST /api/v1/tanks/{id}/alarms/{cause}/verdict |"
            + " {'by':'Maren','wasTrue':true,'since':'2026-03-13T02:11:07Z'} | 204",
        "POST /api/v1/tanks/{id}/out-of-service |"
            + " {'by':'Maren','reason':'New probe','minutes':60} | 204",
        "POST /api/v1/tanks/{id}/return-to-service | {'by':'Maren'} | 204",
        "POST /api/v1/tanks/{id}/events | {'by':'Maren','kind':'fed'} | 204",
        "POST /api/v1/tanks/{id}/work | {'id':'salt-0001','by':'Maren','kind':'salt',"
            + "'fields':{'kg':3,'reason':'netted'}} | 201",
        "PUT /api/v1/people/{name}/driving | {'driving':true} | 204",
        "PUT /api/v1/setup/tanks/{id} | {'by':'Maren','tank':{'kind':'holding','waterLitres':1400,"
            + "'supply':{'gas':'air','source':'blower','diffuser':'ceramic','flowLPerMin':40}}}"
            + " | 200",
        "PUT /api/v1/setup/people/{name} | {'by':'Maren','basedOn':1,'isNew':true,'person':"
            + "{'name':'Tomas','hours':{'from':'18:00','to':'06:00'},'channels':['push',"
            + "{'webhook':{'url':'https://calls.example.org/in','secret':'tench'}}]}} | 200",
        "POST /api/v1/setup/people/{name}/remove | {'by':'Maren','basedOn':1} | 200",
        // Understood, but there are fish in it.
        "POST /api/v1/setup/tanks/{id}/remove | {'by':'Maren'} | 409",
        "POST /api/v1/tanks/{id}/fish | {'by':'Maren','do':'add','species':'tench','kg':5} | 200",
        "POST /api/v1/setup/topics |"
            + " {'by':'Maren','topic':'shed/probe7/do','tank':'h1','quantity':'oxygen'} | 204",
        "POST /api/v1/setup/topics/take-back | {'by':'Maren','topic':'shed/probe7/do'} | 204",
        "POST /api/v1/setup/check | {'yaml':'farm: Sallowmere\\ntanks: [{ id: h1, kind: holding,"
            + " waterLitres: 900, supply: { gas: air, source: blower, diffuser: ceramic,"
            + " flowLPerMin: 9 } }]'} | 200",
      })
  void whatIsTaken_isAsItsSchemaSays_andWhatIsNot_isRefusedByBoth(
      String what, String body, int status) throws Exception {
    Operation operation = operation(what);
    String json = body.replace('\'', '"');

    assertThat(document.faults(document.body(operation), JSON.readTree(json))).isEmpty();
    assertThat(send(operation, json).statusCode()).isEqualTo(status);

    assertThat(document.faults(document.body(operation), JSON.readTree("{}"))).isNotEmpty();
    HttpResponse<String> refused = send(operation, "{}");
    assertThat(refused.statusCode()).isEqualTo(400);
    JsonNode problem = document.answer(operation, "default").orElseThrow();
    assertThat(document.faults(problem, JSON.readTree(refused.body()))).isEmpty();
  }

  @Test
  void plan_isAsItsSchemasSay_andWhatIsMissing_isRefusedByBoth() throws Exception {
    Operation plan = operation("POST /api/v1/plan");
    String question =
        """
        {"load":[{"species":"common-carp","kg":80,"count":40}],"waterLitres":650,"temperatureC":12,
         "riseC":2,"minutes":90,"gas":"oxygen","diffuser":"ceramic"}
        """;

    assertThat(document.faults(document.body(plan), JSON.readTree(question))).isEmpty();
    HttpResponse<String> answer = send(plan, question);
    assertThat(answer.statusCode()).isEqualTo(200);
    JsonNode schema = document.answer(plan, "200").orElseThrow();
    assertThat(document.faults(schema, JSON.readTree(answer.body()))).isEmpty();

    assertThat(document.faults(document.body(plan), JSON.readTree("{}"))).isNotEmpty();
    HttpResponse<String> refused = send(plan, "{}");
    assertThat(refused.statusCode()).isEqualTo(422);
    JsonNode problem = document.answer(plan, "default").orElseThrow();
    assertThat(document.faults(problem, JSON.readTree(refused.body()))).isEmpty();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "POST /api/v1/trips | {'id':'n1','time':'2026-03-14T01:00:00Z','by':'Maren','tank':'t1'} | 201",
        "POST /api/v1/trips/{id}/checks |"
            + " {'id':'c9','time':'2026-03-11T02:40:00Z','by':'Tove','fish':'restless'} | 200",
        "POST /api/v1/trips/{id}/corrections |"
            + " {'kind':'check','id':'c10','time':'2026-03-11T02:40:00Z','by':'Tove',"
            + "'fish':'restless','corrects':'c3'} | 200",
      })
  void trip_isWritten_asItsSchemasSay_andWhatIsMissing_isRefusedByBoth(
      String what, String body, int status) throws Exception {
    Operation operation = operation(what);
    String json = body.replace('\'', '"');

    assertThat(document.faults(document.body(operation), JSON.readTree(json))).isEmpty();
    HttpResponse<String> answer = send(operation, json);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(status);
    JsonNode schema = document.answer(operation, Integer.toString(status)).orElseThrow();
    assertThat(document.faults(schema, JSON.readTree(answer.body()))).isEmpty();
    assertThat(document.faults(document.body(operation), JSON.readTree("{}"))).isNotEmpty();
    assertThat(send(operation, "{}").statusCode()).isEqualTo(422);
  }

  private Operation operation(String what) {
    return document.operations().stream()
        .filter(o -> o.toString().equals(what))
        .findFirst()
        .orElseThrow();
  }

  private HttpResponse<String> send(Operation operation, String body) throws Exception {
    String path =
        operation
            .path()
            .replace("{id}", "h2")
            .replace("{cause}", "gas-line-stopped")
            .replace("{name}", "Maren");
    return client.send(
        request(path)
            .header("Content-Type", "application/json")
            .method(operation.method(), BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }

  private HttpResponse<String> get(String path) throws Exception {
    return client.send(request(path).build(), BodyHandlers.ofString());
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
        .timeout(Duration.ofSeconds(20));
  }
}
