// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.calling.CallingPlan;
import opercle.analysis.calling.Delivery;
import opercle.analysis.calling.Person;
import opercle.analysis.calling.Target;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.LogIn;
import opercle.dashboard.access.Role;
import opercle.dashboard.access.SessionRules;
import opercle.dashboard.calling.CallBook;
import opercle.dashboard.calling.CallingApi;
import opercle.dashboard.calling.CallingService;
import opercle.dashboard.calling.HaveLinks;
import opercle.dashboard.calling.HaveMonitorPages;
import opercle.dashboard.calling.HavePages;
import opercle.dashboard.calling.KeptPeople;
import opercle.dashboard.calling.MadeLinks;
import opercle.dashboard.push.PushTestDesk;

/** Sallowmere with everything that {@code serve} has, and whoever a test wants as users. */
final class GuardedFarm implements AutoCloseable {

  static final String PASSWORD = "lorry gravel tench lamp";

  final FakeFarm farm;
  final AccessDesk access;
  final DashboardServer server;
  final HaveLinks links;
  final CallBook calls;
  volatile Instant now = Instant.parse("2026-03-14T02:00:00Z");

  private final KeptAlarms kept;
  private final FarmBook book;
  final CallingService calling;
  final KeptSetUp setUp;
  private final KeptPeople people;
  final PushTestDesk push;
  private final HttpClient client =
      HttpClient.newBuilder().followRedirects(HttpClient.Redirect.NEVER).build();

  private GuardedFarm(Path folder, FakeFarm farm, TrustedProxies proxies, Optional<TlsFiles> tls)
      throws Exception {
    this.farm = farm;
    kept = KeptAlarms.in(folder);
    book = FarmBook.open(folder.resolve("access.db"));
    access = new AccessDesk(() -> Optional.of(book), SessionRules.USUAL, () -> now);
    calls = new CallBook(book, "Sallowmere");
    links =
        HaveLinks.in(
            Files.createDirectory(folder.resolve("keys")), URI.create("https://fish.example.org"));
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
    trips.take(KeptTrips.splitLine("h2")); // every id in an address is h2
    FarmRecords versions = new FarmRecords(kept.book());
    TripDoor door =
        new TripDoor(
            trips,
            FarmDesk.open(versions, farm.farm(), "farm.yaml", () -> FakeFarm.NIGHT),
            versions,
            new RecordBook(kept.book(), "Sallowmere"),
            () -> FakeFarm.NIGHT);
    push = new PushTestDesk(Files.createDirectory(folder.resolve("push")));
    server =
        DashboardServer.start(
            new DashboardSettings(
                DashboardSettings.LOOPBACK, 0, Set.of(), new Entrance(access, proxies, tls)),
            farm,
            new FakeTraces(),
            kept.past(),
            Optional.of(push.desk()),
            List.of(
                new CallingApi(calling, calls),
                new HavePages(farm, links, calls),
                new HaveMonitorPages(calling, links, farm::now),
                setUp.api(),
                new PeopleApi(people.desk),
                new TripRoutes(
                    farm,
                    new FakeTraces(),
                    kept.past(),
                    () -> Optional.of(trips),
                    () -> Optional.of(new RecordBook(book, "Sallowmere")),
                    () -> Optional.of(new PhotoRecords(book, "Sallowmere")),
                    Optional::empty,
                    Optional.of(door)),
                KeptHolding.in(book, farm, kept.past()),
                new KeptRecords(book).api()));
  }

  static GuardedFarm in(Path folder) throws Exception {
    return in(folder, FakeFarm.troubled(), TrustedProxies.NONE);
  }

  static GuardedFarm in(Path folder, FakeFarm farm, TrustedProxies proxies) throws Exception {
    return new GuardedFarm(folder, farm, proxies, Optional.empty());
  }

  static GuardedFarm in(Path folder, TlsFiles tls) throws Exception {
    return new GuardedFarm(folder, FakeFarm.quiet(), TrustedProxies.NONE, Optional.of(tls));
  }

  /** Adds a user, who has {@link #PASSWORD}, and logs in. */
  String cookie(String name, Role role) {
    access.add(name, role, PASSWORD);
    return cookie(name);
  }

  String cookie(String name) {
    var done = (LogIn.Done) access.logIn(name, PASSWORD, "127.0.0.1");
    return "opercle-session=" + done.secret();
  }

  /** The link of a message to Tove about the alarm of the second tank. */
  String link() {
    return MadeLinks.path(
        links,
        "Tove",
        "h2",
        AlarmCause.GAS_LINE_STOPPED,
        FakeFarm.NIGHT.minusSeconds(95),
        FakeFarm.NIGHT);
  }

  String root() {
    return "http://127.0.0.1:" + server.port();
  }

  /** As one of our own pages sends it. */
  HttpResponse<String> send(String method, String path, String body, String... headers)
      throws IOException, InterruptedException {
    HttpRequest.Builder request = request(method, path, body);
    if (!method.equals("GET") && !method.equals("HEAD")) {
      request.setHeader("Origin", root());
    }
    for (int i = 0; i < headers.length; i += 2) {
      request.setHeader(headers[i], headers[i + 1]);
    }
    return client.send(request.build(), BodyHandlers.ofString());
  }

  /** As a program sends it that says nothing of where it comes from. */
  HttpResponse<String> sendBare(String method, String path, String body, String... headers)
      throws IOException, InterruptedException {
    HttpRequest.Builder request = request(method, path, body);
    for (int i = 0; i < headers.length; i += 2) {
      request.setHeader(headers[i], headers[i + 1]);
    }
    return client.send(request.build(), BodyHandlers.ofString());
  }

  private HttpRequest.Builder request(String method, String path, String body) {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(root() + path)).timeout(Duration.ofSeconds(20));
    return body.isEmpty()
        ? request.method(method, BodyPublishers.noBody())
        : request
            .header("Content-Type", "application/json")
            .method(method, BodyPublishers.ofString(body));
  }

  @Override
  public void close() {
    server.close();
    calling.close();
    setUp.close();
    people.close();
    push.close();
    book.close();
    kept.close();
  }
}
