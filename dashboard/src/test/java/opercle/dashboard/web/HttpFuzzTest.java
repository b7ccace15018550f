// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.net.Socket;
import java.nio.file.Path;
import java.time.Duration;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A little of what {@code HttpFuzzMain} does at length. */
class HttpFuzzTest {

  @TempDir Path folder;

  @Test
  void requestsThatAreWrong_areAnsweredWithoutAFault() throws Exception {
    try (DashboardServer server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces());
        HttpFuzz fuzz = new HttpFuzz(server.port(), 3)) {
      HttpFuzz.Outcome outcome = fuzz.run(1_500);

      assertThat(outcome.faults()).isEmpty();
      assertThat(outcome.slowest()).isLessThan(Duration.ofSeconds(10));
      assertThat(outcome.statuses()).containsKeys(200, 400, 404);
    }
  }

  @Test
  void bodyThatEndsTooEarly_isTheSendersFault() throws Exception {
    try (DashboardServer server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces());
        Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      String request =
          "POST /api/v1/plan HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
              + "Content-Length: 90\r\n\r\n{\"species\":";
      socket.getOutputStream().write(request.getBytes(ISO_8859_1));
      socket.shutdownOutput();
      assertThat(new String(socket.getInputStream().readNBytes(12), ISO_8859_1))
          .isEqualTo("HTTP/1.1 400");
    }
  }

  @ParameterizedTest
  @CsvSource({
    "GET /tank/h1;% HTTP/1.1, X: x, 400",
    "GET /assets/operc;le.c%zzss HTTP/1.1, X: x, 400",
    "DELETE /trips HTTP/1.1, Content-Type: text/plain; charset=no-such, 415"
  })
  void whatWasFound_isTheSendersFaultNow(String line, String header, int status) throws Exception {
    try (DashboardServer server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces())) {
      assertThat(RawAnswer.of(server.port(), line, header).statusCode()).isEqualTo(status);
    }
  }

  @Test
  void withUsers_nothingButFilesAndHealthIsAnswered() throws Exception {
    try (GuardedFarm guarded = GuardedFarm.in(folder);
        HttpFuzz fuzz = new HttpFuzz(guarded.server.port(), 4)) {
      guarded.cookie("Maren", Role.MANAGE);
      HttpFuzz.Outcome outcome = fuzz.run(1_500);

      assertThat(outcome.faults()).isEmpty();
      assertThat(outcome.statuses()).containsKeys(400, 401);
      assertThat(guarded.farm.acts()).isEmpty();
    }
  }
}
