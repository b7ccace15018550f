// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.net.NetworkInterface;
import java.net.URI;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class TypedKeysTest {

  private final TypedKeys keys = new TypedKeys(Map.of());

  /** In whatever form it is written. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "http://198.51.100.7/in",
        "https://127.0.0.1/in",
        "https://127.9.9.9/in",
        "https://0.0.0.0/in",
        "https://[::]/in",
        "https://[::1]/in",
        "https://[::ffff:127.0.0.1]/in",
        "https://localhost:8443/in",
        "https://169.254.169.254/latest"
      })
  void addressThatIsNoOtherMachinesByHttps_isRefused(String url) {
    assertThat(keys.objection(URI.create(url))).isPresent();
  }

  @Test
  void everyAddressOfThisMachine_isRefused() throws Exception {
    for (NetworkInterface card : NetworkInterface.networkInterfaces().toList()) {
      for (InetAddress address : card.inetAddresses().toList()) {
        String host = address.getHostAddress().replaceFirst("%.*", "");
        String shown = host.contains(":") ? "[" + host + "]" : host;
        assertThat(keys.objection(URI.create("https://" + shown + "/in"))).isPresent();
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"https://198.51.100.7/in", "https://192.0.2.9:8443/siren"})
  void addressOfAnotherMachine_isTaken(String url) {
    assertThat(keys.objection(URI.create(url))).isEmpty();
  }
}
