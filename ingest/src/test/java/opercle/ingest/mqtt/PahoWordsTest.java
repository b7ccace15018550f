// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.URI;
import java.net.UnknownHostException;
import java.util.stream.Stream;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class PahoWordsTest {

  static Stream<IOException> whatANetworkThrows() {
    return Stream.of(
        new ConnectException("Connection refused"),
        new NoRouteToHostException("No route to host"),
        new SocketException("Network is unreachable"),
        new SocketTimeoutException("connect timed out"),
        new UnknownHostException("broker"));
  }

  /** Whoever reads it was woken by it. */
  @ParameterizedTest
  @MethodSource("whatANetworkThrows")
  void whyNoConnection_isSaidInWords(IOException thrown) {
    MqttSettings settings = MqttSettings.of(URI.create("tcp://broker:1883"), "opercle-serve");

    assertThat(PahoWords.whyNoConnection(settings, new MqttException(thrown)))
        .startsWith("cannot connect to the MQTT broker tcp://broker:1883 as opercle-serve: ")
        .doesNotContain("Exception", "code");
  }
}
