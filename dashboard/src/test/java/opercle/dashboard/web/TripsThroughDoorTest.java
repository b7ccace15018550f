// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

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
}
