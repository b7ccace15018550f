// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.stream.IntStream;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Movement;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripTank;
import opercle.analysis.tripfile.EntryForm;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.tripfile.TripPhoto;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** Each kind of entry of trips, as phones send them: one trip in each of many tanks. */
enum TripEntries {
  START("", "trips") {
    @Override
    String body(int n) throws IOException {
      return "{'id':'trip-%1$d','time':'%2$s','by':'Maren','tank':'t%1$d','from':'Stew 2','to':'Long Pool','expectedMinutes':60,'movementRecord':'movement-%1$d'}"
          .formatted(n, LOADED);
    }
  },
  CHECK("START", "trips/trip-%d/checks") {
    @Override
    String body(int n) throws IOException {
      return "{'id':'check-%d','time':'%s','by':'Tove','fish':'restless','oxygenMgPerL':9.1}"
          .formatted(n, CHECKED);
    }
  },
  PHOTO("START CHECK", "trips/trip-%1$d/checks/check-%1$d/photo") {
    @Override
    String body(int n) throws IOException {
      return "{'by':'Tove','picture':'%s'}"
          .formatted(Base64.getEncoder().encodeToString(PictureTest.picture("png", 320, 200)));
    }
  },
  UNLOADING("START", "trips/trip-%d/unloading") {
    @Override
    String body(int n) throws IOException {
      return "{'id':'out-%d','time':'%s','by':'Maren','losses':[{'species':'common-carp','count':%d}]}"
          .formatted(n, OUT, 1 + n % 3);
    }
  },
  CORRECTION("START UNLOADING", "trips/trip-%d/corrections") {
    @Override
    String body(int n) throws IOException {
      return "{'kind':'unloaded','id':'right-%1$d','corrects':'out-%1$d','time':'%2$s','by':'Tove','losses':[{'species':'common-carp','count':7}]}"
          .formatted(n, OUT);
    }
  },
  /** On the way, so that the tank's record goes along with it. */
  LOADING("START", "trips/trip-%d/corrections") {
    @Override
    String body(int n) throws IOException {
      return EntryForm.write(
              new TripEntry.Loaded(
                  "loaded-" + n,
                  LOADED,
                  "Tove",
                  Optional.of("trip-" + n + "-in"),
                  trip(n, List.of(load(80.0, FISH - TOO_MANY)))))
          .toString();
    }
  },
  WITHDRAWAL("START", "trips/trip-%d/withdrawal") {
    @Override
    String body(int n) throws IOException {
      return "{'id':'gone-%d','time':'%s','by':'Maren','why':'wrong tank'}".formatted(n, OUT);
    }
  },
  /** The fish of a trip that never was are put back into the record of their tank. */
  TANK_LOAD("START UNLOADING WITHDRAWAL", "trips/trip-%d/tank-load") {
    @Override
    void send(String root, int n) throws IOException, InterruptedException {
      HttpRequest trip =
          HttpRequest.newBuilder(URI.create(root + "/api/v1/trips/trip-" + n)).build();
      String seen = CLIENT.send(trip, BodyHandlers.ofString()).body();
      post(
          root,
          n,
          "{'by':'Tove','entry':'gone-%d','do':'put','basedOn':%d}"
              .formatted(n, JSON.readTree(seen).at("/tankLoad/basedOn").asLong()));
    }

    @Override
    String body(int n) {
      throw new UnsupportedOperationException("only what was seen can be answered");
    }
  },
  TAKING_IN("", "trips/import") {
    @Override
    String body(int n) throws IOException {
      return file(n);
    }
  };

  /** Trips, tanks and movements. */
  static final int MANY = 12;

  /** Fish in each tank, and on each movement's record. */
  static final int FISH = 40;

  /** So many were written down as loaded that were not. */
  private static final int TOO_MANY = 2;

  private static final int MINUTES = 59;
  private static final Instant LOADED = FakeFarm.NIGHT.minus(Duration.ofHours(1));
  private static final Instant CHECKED = FakeFarm.NIGHT.minus(Duration.ofMinutes(30));
  private static final Instant OUT = FakeFarm.NIGHT.minus(Duration.ofMinutes(1));
  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final ObjectMapper JSON = new ObjectMapper();

  private final String first;
  private final String path;

  TripEntries(String first, String path) {
    this.first = first;
    this.path = path;
  }

  abstract String body(int n) throws IOException;

  /**
   * All that the farm's books say of one trip and its fish.
   *
   * @param entries what was written, in order
   * @param aboard fish in the tank, as the farm stands
   * @param died on the movement's record
   */
  record Books(
      List<String> entries, int aboard, OptionalLong died, boolean pictured, int readings) {}

  /** The book of a farm of many lorries, as it is where it is run. */
  static ServedTrips open(Path folder) {
    List<Tank> tanks = IntStream.range(0, MANY).mapToObj(TripEntries::tank).toList();
    return new ServedTrips(folder, new FakeFarm(tanks)).withDoor();
  }

  private static Tank tank(int n) {
    Tank trailer = FakeFarm.quiet().farm().tank("t1").orElseThrow();
    return new Tank(
        "t" + n,
        "Lorry " + n,
        trailer.kind(),
        trailer.waterLitres(),
        trailer.depthM(),
        trailer.supply(),
        List.of(load(90.0, FISH)),
        trailer.floors(),
        trailer.responseMinutes());
  }

  private static Tank.Load load(double kg, int fish) {
    return new Tank.Load(Species.COMMON_CARP, kg, OptionalInt.of(fish), Optional.empty());
  }

  private static Trip trip(int n, List<Tank.Load> load) {
    Tank tank = tank(n);
    return new Trip(
        "trip-" + n,
        Trip.Kind.ROAD,
        TripTank.of(tank, 40.0),
        Optional.empty(),
        "Stew 2",
        "Long Pool",
        load,
        OptionalDouble.of(60.0),
        TripLimits.of(tank),
        OptionalDouble.empty(),
        Optional.empty(),
        Optional.of("movement-" + n));
  }

  /** A book in which every entry of this kind can be written next. */
  List<Books> prepare(Path folder) throws IOException, InterruptedException {
    try (ServedTrips at = open(folder)) {
      keep(at, "water-stew", Entry.Kind.WATER, Map.of("name", "Stew 2", "type", "pond"));
      keep(at, "water-long", Entry.Kind.WATER, Map.of("name", "Long Pool", "type", "fishery"));
      for (int n = 0; n < MANY; n++) {
        keep(
            at,
            "movement-" + n,
            Entry.Kind.MOVEMENT,
            Map.of(
                "species",
                "Common carp",
                "count",
                FISH,
                "from",
                "water-stew",
                "to",
                "water-long",
                "departs",
                LOADED.toString(),
                "arrives",
                OUT.toString()));
      }
      String root = at.serve().url("");
      for (String kind : first.isEmpty() ? new String[0] : first.split(" ", -1)) {
        for (int n = 0; n < MANY; n++) {
          valueOf(kind).send(root, n);
        }
      }
      return read(at);
    }
  }

  private static void keep(ServedTrips at, String id, Entry.Kind kind, Map<String, ?> fields) {
    assertThat(
            at.records.keep(
                id, "Maren", FakeFarm.NIGHT, Optional.empty(), EntryFields.read(kind, fields)))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  /**
   * Sends one.
   *
   * @param root where it is served
   * @throws IOException if no answer came
   */
  void send(String root, int n) throws IOException, InterruptedException {
    post(root, n, body(n));
  }

  void post(String root, int n, String body) throws IOException, InterruptedException {
    HttpResponse<String> answer =
        CLIENT.send(
            HttpRequest.newBuilder(URI.create(root + "/api/v1/" + path.formatted(n)))
                .timeout(Duration.ofSeconds(60))
                .header("Content-Type", "application/json")
                .POST(BodyPublishers.ofString(body.replace('\'', '"')))
                .build(),
            BodyHandlers.ofString());
    assertThat(answer.statusCode()).as("%s %d: %s", this, n, answer.body()).isLessThan(300);
  }

  /** What the books say of every trip. */
  static List<Books> read(ServedTrips at) {
    List<Books> all = new ArrayList<>();
    Farm farm = at.versions.newest().orElseThrow().farm();
    PhotoRecords photos = new PhotoRecords(at.book, ServedTrips.FARM);
    RecordBook records = new RecordBook(at.book, ServedTrips.FARM);
    for (int n = 0; n < MANY; n++) {
      Optional<TripLog> log = at.trips.trip("trip-" + n);
      all.add(
          new Books(
              log.map(l -> l.entries().stream().map(TripEntry::id).toList()).orElse(List.of()),
              farm.tank("t" + n).orElseThrow().loads().stream()
                  .mapToInt(l -> l.count().orElseThrow())
                  .sum(),
              records.records().find(Movement.class, "movement-" + n).orElseThrow().entry().died(),
              !photos.among(List.of("check-" + n)).isEmpty(),
              log.map(l -> at.trips.readings(l).size()).orElse(0)));
    }
    return all;
  }

  /**
   * No fish appears or vanishes: what went out of the tank is what the trip took, and what did not
   * live stands alike on the trip and on its movement.
   */
  static void requireAllFish(TripEntries kind, int n, Books books) {
    int aboard =
        switch (kind) {
          case UNLOADING, CORRECTION -> 0;
          case LOADING -> FISH - TOO_MANY;
          default -> FISH;
        };
    assertThat(books.aboard()).as("aboard after %s", kind).isEqualTo(aboard);
    OptionalLong died =
        switch (kind) {
          case UNLOADING -> OptionalLong.of(1 + n % 3);
          case CORRECTION -> OptionalLong.of(7);
          case TAKING_IN -> OptionalLong.of(2);
          default -> OptionalLong.empty();
        };
    assertThat(books.died()).as("on the movement after %s", kind).isEqualTo(died);
    assertThat(books.readings()).isEqualTo(kind == TAKING_IN ? MINUTES : 0);
    assertThat(books.pictured()).isEqualTo(kind == PHOTO || kind == TAKING_IN);
  }

  /** The file of a trip that a lorry of its own has kept: a check with its picture, and losses. */
  private static String file(int n) throws IOException {
    Tank tank = tank(n);
    Trip trip = trip(n, tank.loads());
    TripLog log =
        TripLog.of(new TripEntry.Loaded("in-" + n, LOADED, "Maren", Optional.empty(), trip))
            .with(
                new TripEntry.StopCheck(
                    "check-" + n,
                    CHECKED,
                    "Tove",
                    Optional.empty(),
                    Fish.RESTLESS,
                    OptionalDouble.of(9.1),
                    OptionalDouble.empty(),
                    OptionalDouble.empty(),
                    ""))
            .with(
                new TripEntry.Unloaded(
                    "out-" + n,
                    OUT,
                    "Maren",
                    Optional.empty(),
                    List.of(
                        new TripEntry.Loss(
                            Species.COMMON_CARP, OptionalInt.of(2), OptionalDouble.empty())),
                    OptionalDouble.empty(),
                    ""));
    List<Reading> readings =
        IntStream.range(0, MINUTES)
            .mapToObj(
                m ->
                    new Reading(
                        tank.id(),
                        Quantity.OXYGEN,
                        "1",
                        LOADED.plusSeconds(60L * m),
                        9.0 - m / 60.0))
            .toList();
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    new TripFile(ServedTrips.FARM, log, readings, List.of(), List.of())
        .withPhotos(
            List.of(
                TripPhoto.of(
                    "check-" + n,
                    CHECKED,
                    "Tove",
                    "sent-" + n,
                    PictureTest.picture("jpeg", 64, 48))))
        .write(out);
    return out.toString(UTF_8);
  }
}
