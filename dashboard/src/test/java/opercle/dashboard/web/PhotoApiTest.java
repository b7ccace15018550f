// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Base64;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Pictures that go with checks, over HTTP. */
class PhotoApiTest {

  @TempDir Path folder;
  private ServedTrips served;

  @BeforeEach
  void start() {
    served = at(folder).withASplitLine("seen").serve();
  }

  private static ServedTrips at(Path folder) {
    ServedTrips trips = new ServedTrips(folder);
    return trips.with(KeptHolding.in(trips.book, trips.farm, PastAlarms.NONE));
  }

  @AfterEach
  void stop() {
    served.close();
  }

  private HttpResponse<byte[]> get(String path) throws Exception {
    return served.bytes(path);
  }

  private HttpResponse<String> post(String path, String picture) throws Exception {
    return served.post(path, "{'by':'Tove','picture':'" + picture + "'}");
  }

  private static String base64(byte[] bytes) {
    return Base64.getEncoder().encodeToString(bytes);
  }

  @Test
  void picture_goesWithACheck_once_andIsServedStrictly() throws Exception {
    String path = "/api/v1/trips/seen/checks/c3/photo";
    assertThat(get(path).statusCode()).isEqualTo(404);
    String png = base64(PictureTest.picture("png", 320, 200));

    assertThat(post(path, png).statusCode()).isEqualTo(201);
    assertThat(post(path, png).statusCode()).as("the same again").isEqualTo(200);
    assertThat(post(path, base64(PictureTest.picture("png", 10, 10))).statusCode()).isEqualTo(409);

    HttpResponse<byte[]> served = get(path);
    assertThat(served.headers().firstValue("Content-Type")).contains("image/jpeg");
    assertThat(served.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
    assertThat(served.headers().firstValue("Content-Security-Policy").orElse(""))
        .contains("default-src 'none'; sandbox");
    BufferedImage image = ImageIO.read(new ByteArrayInputStream(served.body()));
    assertThat(image.getWidth()).isEqualTo(320);
    assertThat(
            new String(get("/api/v1/trips/seen").body(), java.nio.charset.StandardCharsets.UTF_8))
        .contains("\"photos\":[\"c3\"]");
  }

  @Test
  void picturesOfATrip_goWithItsFile_andComeIn_once() throws Exception {
    String path = "/api/v1/trips/seen/checks/c3/photo";
    post(path, base64(PictureTest.picture("png", 320, 200)));
    byte[] file = get("/api/v1/trips/seen/trip.json").body();

    served.close();
    served = at(Files.createTempDirectory(folder, "farm")).serve();
    assertThat(get(path).statusCode()).isEqualTo(404);

    assertThat(take(file)).contains("\"entries\":5").contains("\"photos\":1");
    assertThat(take(file))
        .isEqualTo(
            "{\"trip\":\"seen\",\"entries\":0,\"readings\":0,\"alarms\":0,\"events\":0,\"photos\":0}");
    assertThat(ImageIO.read(new ByteArrayInputStream(get(path).body())).getWidth()).isEqualTo(320);
    assertThat(post(path, base64(PictureTest.picture("png", 320, 200))).statusCode())
        .as("the phone sends the same one again")
        .isEqualTo(200);
  }

  /** Somebody wrote it down at the tank and not with the trip; it is of the trip all the same. */
  @Test
  void checkWithAPictureAtTheTank_goesWithTheTripsFile_andIsNotTwiceWhereItCameFrom()
      throws Exception {
    HttpResponse<String> written =
        served.post(
            "/api/v1/tanks/t1/work",
            "{'id':'by-hand-0001','kind':'hand-check','by':'Tove','fields':{'fish':'restless','time':'%s'}}"
                .formatted(KeptTrips.THEN.plusSeconds(1800)));
    assertThat(written.statusCode()).as(written.body()).isLessThan(300);
    String png = base64(PictureTest.picture("png", 320, 200));
    assertThat(post("/api/v1/tanks/t1/done/by-hand-0001/photo", png).statusCode()).isEqualTo(201);
    byte[] file = get("/api/v1/trips/seen/trip.json").body();
    assertThat(take(file)).as("where it came from").contains("\"entries\":1,");
    assertThat(checks()).containsOnlyOnce("restless, 30 min");

    served.close();
    served = at(Files.createTempDirectory(folder, "farm")).serve();

    assertThat(take(file)).contains("\"entries\":6").contains("\"photos\":1");
    assertThat(take(file)).contains("\"entries\":0").contains("\"photos\":0");
    assertThat(checks()).containsOnlyOnce("restless, 30 min");
    HttpResponse<byte[]> picture = get("/api/v1/trips/seen/checks/by-hand-0001/photo");
    assertThat(ImageIO.read(new ByteArrayInputStream(picture.body())).getWidth()).isEqualTo(320);
  }

  /** How the fish were and how long after the loading, one check after another. */
  private String checks() throws Exception {
    JsonNode trip = new ObjectMapper().readTree(get("/api/v1/trips/seen").body());
    StringBuilder told = new StringBuilder();
    for (JsonNode section : trip.at("/report/sections")) {
      if (section.path("heading").asText().equals("Checks at the stops")) {
        for (JsonNode row : section.path("table")) {
          boolean isOurs = row.get(0).asText().endsWith(minute());
          told.append(row.get(2).asText()).append(isOurs ? ", 30 min; " : "; ");
        }
      }
    }
    return told.toString();
  }

  private static String minute() {
    return KeptTrips.THEN.plusSeconds(1800).toString().substring(13, 19);
  }

  @Test
  void fileWhosePictureIsNone_isRefusedWhole() throws Exception {
    post("/api/v1/trips/seen/checks/c3/photo", base64(PictureTest.picture("png", 32, 20)));
    String file = new String(get("/api/v1/trips/seen/trip.json").body(), UTF_8);
    String other =
        file.replaceAll("\"jpeg\":\"[^\"]*\"", "\"jpeg\":\"bm90aGluZw==\"")
            .replace("\"about\":\"c3\"", "\"about\":\"c1\"");

    assertThat(take(other.getBytes(UTF_8))).contains("The picture must be a JPEG or a PNG.");
  }

  private String take(byte[] file) throws Exception {
    return served.postAsIs("/api/v1/trips/import", new String(file, UTF_8)).body();
  }

  @Test
  void picture_goesWithWhatWasWrittenDownAtATank_andWithNothingElse() throws Exception {
    String jpeg = base64(PictureTest.picture("jpeg", 32, 20));

    assertThat(post("/api/v1/tanks/h2/done/bath-0001/photo", jpeg).statusCode()).isEqualTo(201);
    assertThat(get("/api/v1/tanks/h2/done/bath-0001/photo").statusCode()).isEqualTo(200);
    assertThat(post("/api/v1/tanks/h1/done/bath-0001/photo", jpeg).statusCode()).isEqualTo(404);
    assertThat(post("/api/v1/tanks/h2/done/nothing-1/photo", jpeg).statusCode()).isEqualTo(404);
    assertThat(post("/api/v1/trips/seen/checks/nothing/photo", jpeg).statusCode()).isEqualTo(404);
  }

  @Test
  void whatIsNoPicture_orTooLarge_isRefused_inWords() throws Exception {
    String path = "/api/v1/tanks/h2/done/feed-0001/photo";

    assertThat(post(path, base64(new byte[] {1, 2, 3})).body())
        .contains("The picture must be a JPEG or a PNG.");
    assertThat(post(path, "%%%").body()).contains("must be in base64");
    assertThat(post(path, "A".repeat(255 * 1024)).statusCode()).isEqualTo(413);
    assertThat(get(path).statusCode()).isEqualTo(404);
  }
}
