// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import static java.nio.charset.StandardCharsets.UTF_8;
import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripPlan;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A trip as a file: out and in again, and what is no such file. */
public class TripFileTest {

  /** A whole trip of the made-up farm, with a plan, a correction, losses, an alarm and an event. */
  public static TripFile whole() {
    Trip plain = MadeTrip.trailer("trip-1");
    LoadPlan plan =
        LoadPlan.of(
            LoadPlanRequest.of(plain.fishLoad(), 650.0).temperatureC(11.0).minutes(60.0).build());
    Trip trip =
        new Trip(
            plain.id(),
            plain.kind(),
            plain.tank(),
            plain.vehicle(),
            plain.from(),
            plain.to(),
            plain.load(),
            plain.expectedMinutes(),
            plain.limits(),
            plain.cylinderBar(),
            Optional.of(TripPlan.of(plan)),
            Optional.of("2026-014"));
    TripLog log =
        TripLog.of(MadeTrip.loaded(trip))
            .with(MadeTrip.check("c1", 20, Fish.RESTLESS, 9.2))
            .with(
                new StopCheck(
                    "c2",
                    START.plusSeconds(1200),
                    "Tove",
                    Optional.of("c1"),
                    Fish.LOW_AND_QUIET,
                    OptionalDouble.of(9.2),
                    OptionalDouble.of(10.5),
                    OptionalDouble.empty(),
                    "two lines\nof words, “quoted”"))
            .with(
                new Unloaded(
                    "u1",
                    START.plusSeconds(3600),
                    "Maren",
                    Optional.empty(),
                    List.of(
                        new Loss(
                            Species.COMMON_CARP,
                            java.util.OptionalInt.of(1),
                            OptionalDouble.of(2.1))),
                    OptionalDouble.of(150.0),
                    ""));
    List<Reading> readings =
        new ArrayList<>(
            MadeTrip.readings(Quantity.OXYGEN, 10, 3600, s -> 9.0 + Math.sin(s / 300.0) / 3.0));
    readings.addAll(MadeTrip.readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0 + s / 3600.0));
    readings.add(
        new Reading(
            "t1", Quantity.GAS_FLOW, "meter", START.plusNanos(1_234_567_000L), 2.4999999999));
    AlarmEvent alarm =
        new AlarmEvent(
            START.plusSeconds(1500),
            "t1",
            AlarmCause.OXYGEN_FALLING,
            AlarmEvent.Kind.RAISED,
            Priority.HIGH,
            AlarmState.UNACKNOWLEDGED,
            OptionalDouble.of(12.5),
            OptionalDouble.empty(),
            "Trailer tank: oxygen is falling.");
    TankEvent event =
        new TankEvent(
            "t1", TankEvent.Kind.GAS_CHANGED, START.plusSeconds(900), Optional.of("Tove"));
    TripPhoto photo =
        TripPhoto.of(
            "c2", START.plusSeconds(1300), "Tove", "0f".repeat(32), "a picture".getBytes(UTF_8));
    return new TripFile(
        "Sallowmere", log, readings, List.of(alarm), List.of(event), List.of(photo));
  }

  private static byte[] bytes(TripFile file) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    file.write(out);
    return out.toByteArray();
  }

  private static TripFile read(String text) throws IOException {
    return TripFile.read("trip.json", new ByteArrayInputStream(text.getBytes(UTF_8)));
  }

  @Test
  void file_comesBackTheSame() throws IOException {
    TripFile file = whole();

    TripFile back = TripFile.read("trip.json", new ByteArrayInputStream(bytes(file)));

    assertThat(back.log()).isEqualTo(file.log());
    assertThat(back.alarms()).isEqualTo(file.alarms());
    assertThat(back.events()).isEqualTo(file.events());
    assertThat(back.photos()).isEqualTo(file.photos());
    assertThat(back.readings()).containsExactlyInAnyOrderElementsOf(file.readings());
    assertThat(bytes(back)).isEqualTo(bytes(file));
  }

  /** A record is of one kind of fish: a mixed load goes under several. */
  private static TripFile underThreeRecords() {
    Trip trip =
        MadeTrip.trailer("trip-1").withMovement("record-carp", "record-tench", "record-roach");
    return new TripFile(
        "Sallowmere",
        TripLog.of(MadeTrip.loaded(trip)).with(MadeTrip.unloaded("u1", 60)),
        List.of(),
        List.of(),
        List.of());
  }

  @Test
  void movementRecordOfEachKind_comesBack_inOrder() throws IOException {
    String text = new String(bytes(underThreeRecords()), UTF_8);

    TripFile back = read(text);

    assertThat(text)
        .contains("\"version\":3", "\"otherMovements\":[\"record-tench\",\"record-roach\"]");
    assertThat(back.log().trip().movementRecord()).contains("record-carp");
    assertThat(back.log().trip().otherMovements()).containsExactly("record-tench", "record-roach");
    assertThat(back).isEqualTo(underThreeRecords());
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "\"movementRecord\":\"record-carp\", | '' | /entries/0/trip/movementRecord is missing, must be the first of the movement records",
        "\"record-tench\",\"record-roach\" | 7 | /entries/0/trip/otherMovements is a list, must be a list of at most 20 texts",
        "[\"record-tench\",\"record-roach\"] | \"record-tench\" | /entries/0/trip/otherMovements is \"record-tench\", must be a list",
        "otherMovements | otherMovement | (did you mean otherMovements?)"
      })
  void badRecordsOfTheKinds_areRefused_namingWhatAndWhere(
      String there, String instead, String words) throws IOException {
    String text = new String(bytes(underThreeRecords()), UTF_8);
    assertThat(text).contains(there);

    assertThatThrownBy(() -> read(text.replace(there, instead)))
        .isInstanceOf(UnusableTripException.class)
        .hasMessageContaining(words);
  }

  @Test
  void fileSaysTheFirstVersionThatCanHoldIt() throws IOException {
    TripFile file = whole();
    Loaded in = file.log().loaded();
    Trip of = in.trip().withMovement("movement-carp", "movement-tench");
    TripLog two = file.log().with(new Loaded("in-9", in.time(), "Tove", Optional.of(in.id()), of));
    TripFile both = new TripFile(file.farm(), two, file.readings(), file.alarms(), file.events());

    assertThat(new String(bytes(file), UTF_8)).contains("\"version\":2,");
    String text = new String(bytes(both), UTF_8);
    assertThat(text).contains("\"version\":3,");
    assertThat(read(text).log()).isEqualTo(two);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "\"waterLitres\":650.0 | \"waterLitres\":\"much\" | /entries/0/trip/tank/waterLitres is \"much\", must be 0.001–1000000 L.",
        "\"load\":[ | \"load\":[{\"species\":\"common-carp\",\"kg\":1000000,\"count\":100000}, | /entries/0/trip/load is a list, must be of one kind at most 1000000 kg and 100000000 fish",
        "\"common-carp\",\"kg\" | \"comon-carp\",\"kg\" | /entries/0/trip/load/0/species is \"comon-carp\"",
        "\"fish\":\"restless\" | \"fsh\":\"restless\" | /entries/1/fish is missing",
        "\"version\":2 | \"version\":4 | /version is 4, must be 1–3",
        "\"form\":\"opercle-trip\" | \"form\":\"other\" | is no trip file",
        "\"corrects\":\"c1\" | \"corrects\":\"c9\" | /entries do not make a trip: What this puts right is not of this trip.",
        "\"gas-changed\" | \"gas-chnged\" | (did you mean gas-changed?)",
        "\"micros\":[0 | \"micros\":[0.5 | must be whole microseconds",
        "\"values\":[9.0 | \"values\":[900.0 | /readings/0/values/0 is 900.0",
        "\"unit\":\"mg/L\" | \"unit\":\"ppm\" | /readings/0/unit is \"ppm\", must be one of mg/L",
        "\"2026-03-14T09:20:00Z\" | \"yesterday\" | is \"yesterday\", must be a time of",
        "\"about\":\"c2\" | \"about\":\"c7\" | /photos hold one of \"c7\", and the trip has no such entry",
        "\"jpeg\":\" | \"jpeg\":\"* | must be a JPEG in base64",
        "\"quantity\":\"oxygen\" | \"quantity\":\"oxigen\" | (did you mean oxygen?)",
        "\"values\":[ | \"values\":[9.1, | must be as many as /micros, 361.",
        "\"form\" | \"photoss\":[[1],{}],\"form\" | /photoss is \"…\", must be no such field (did you mean photos?)",
        "\"entries\" | {\"entries | line 1: is not well-formed JSON"
      })
  void badFile_isRefused_namingWhatAndWhere(String there, String instead, String words)
      throws IOException {
    String text = new String(bytes(whole()), UTF_8);
    assertThat(text).contains(there);

    assertThatThrownBy(
            () ->
                read(
                    text.replaceFirst(
                        java.util.regex.Pattern.quote(there),
                        java.util.regex.Matcher.quoteReplacement(instead))))
        .isInstanceOf(UnusableTripException.class)
        .hasMessageStartingWith("trip.json")
        .hasMessageContaining(words)
        .hasMessageNotContaining("Exception");
  }

  @Test
  void cutFile_isRefused() throws IOException {
    String text = new String(bytes(whole()), UTF_8);

    assertThatThrownBy(() -> read(text.substring(0, text.length() / 2)))
        .isInstanceOf(UnusableTripException.class);
    assertThatThrownBy(() -> read("")).isInstanceOf(UnusableTripException.class);
    assertThatThrownBy(() -> read("[]")).hasMessageContaining("is no trip file");
  }

  @Test
  void fileOfTheFirstVersion_withItsFieldsInAnotherOrder_isTakenToo() throws IOException {
    TripFile plain = whole().withPhotos(List.of());
    ObjectNode tree = (ObjectNode) EntryForm.JSON.readTree(bytes(plain));
    ObjectNode old = EntryForm.JSON.createObjectNode();
    old.set("readings", tree.get("readings"));
    old.setAll((ObjectNode) tree.without(List.of("readings", "photos")));
    old.put("version", 1);

    assertThat(read(old.toString())).isEqualTo(plain);
  }

  /** Half a day at six readings a second, as a lorry brings it home. */
  @Test
  void tripOfHalfADay_fitsWhatIsTakenIn_andIsReadInLittleMemory() throws IOException {
    List<Reading> readings = new ArrayList<>();
    for (int probe = 0; probe < 6; probe++) {
      String name = "p" + probe;
      MadeTrip.readings(Quantity.OXYGEN, 1, 12 * 3600, s -> 9.0 + Math.sin(s / 300.0) / 3.0)
          .forEach(r -> readings.add(new Reading("t1", r.quantity(), name, r.time(), r.value())));
    }
    List<TripPhoto> photos =
        Collections.nCopies(
            60, TripPhoto.of("c2", START, "Tove", "0f".repeat(32), new byte[400_000]));
    TripFile whole = whole();
    TripFile day =
        new TripFile("Sallowmere", whole.log(), readings, whole.alarms(), whole.events(), photos);

    byte[] bytes = bytes(day);

    System.out.printf(
        "12 h at 6 readings a second with 60 pictures: %.1f MB%n", bytes.length / 1.0e6);
    assertThat(bytes).hasSizeLessThan(48 * 1024 * 1024);
    assertThat(TripFile.read("day", new ByteArrayInputStream(bytes)).readings())
        .hasSize(6 * (12 * 3600 + 1));
  }

  @Test
  void unknownField_isRefused() {
    assertThatThrownBy(
            () ->
                EntryForm.parse(
                    "{\"kind\":\"check\",\"id\":\"c1\",\"time\":\"2026-03-14T09:20:00Z\",\"by\":\"Tove\",\"fish\":\"restless\",\"oxigenMgPerL\":9}"))
        .hasMessageContaining(
            "/oxigenMgPerL is 9, must be no such field (did you mean oxygenMgPerL?)");
  }
}
