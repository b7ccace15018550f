// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an unloading over HTTP does at the farm, and not only to the trip. */
class TripsThroughDoorTest {

  @TempDir Path folder;
  private ServedTrips served;

  @BeforeEach
  void start() {
    served = new ServedTrips(folder).withDoor().serve();
  }

  @AfterEach
  void close() {
    served.close();
  }

  private double kg() {
    return served.versions.newest().orElseThrow().farm().tank("t1").orElseThrow().loadKg();
  }

  @Test
  void unloading_takesTheLoadOutOfTheTank_inTheBook() throws Exception {
    assertThat(kg()).isPositive();
    HttpResponse<String> begun =
        served.post(
            "/api/v1/trips",
            "{'id':'trip-1','time':'"
                + FakeFarm.NIGHT.minusSeconds(3600)
                + "','by':'Maren','tank':'t1','from':'Holding 2','to':'Long Pool',"
                + "'expectedMinutes':60,'temperatureC':11.8,'cylinderBar':180}");
    assertThat(begun.statusCode()).as(begun.body()).isEqualTo(201);
    assertThat(kg()).as("aboard").isPositive();

    HttpResponse<String> out =
        served.post(
            "/api/v1/trips/trip-1/unloading",
            "{'id':'trip-1-out','time':'"
                + FakeFarm.NIGHT.minusSeconds(60)
                + "','by':'Maren','losses':[]}");
    assertThat(out.statusCode()).as(out.body()).isEqualTo(200);
    assertThat(kg()).isZero();
  }

  @Test
  void withdrawnAfterItsUnloading_asksWhetherTheFishAreInTheTankAgain() throws Exception {
    double before = kg();
    unloading_takesTheLoadOutOfTheTank_inTheBook();
    String gone =
        served
            .post(
                "/api/v1/trips/trip-1/withdrawal",
                "{'id':'w-1','time':'" + FakeFarm.NIGHT + "','by':'Maren','why':'another tank'}")
            .body();
    JsonNode offer = new ObjectMapper().readTree(gone).path("tankLoad");
    assertThat(offer.path("now")).isEmpty();
    assertThat(offer.path("then").get(0).path("kg").asDouble()).isPositive();
    assertThat(kg()).as("never by itself").isZero();

    String answer = "{'by':'Tove','entry':'w-1','basedOn':%s,'do':'%s'}";
    assertThat(
            served.post("/api/v1/trips/trip-1/tank-load", answer.formatted(0, "put")).statusCode())
        .as("seen with another farm")
        .isEqualTo(409);
    assertThat(
            served
                .post("/api/v1/trips/trip-1/tank-load", answer.formatted(0, "drain"))
                .statusCode())
        .isEqualTo(400);
    HttpResponse<String> put =
        served.post(
            "/api/v1/trips/trip-1/tank-load",
            answer.formatted(offer.path("basedOn").asLong(), "put"));
    assertThat(put.statusCode()).as(put.body()).isEqualTo(200);
    assertThat(new ObjectMapper().readTree(put.body()).has("tankLoad")).isFalse();
    assertThat(kg()).isEqualTo(before);
  }
}
