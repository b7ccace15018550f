// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.net.URI;
import java.net.UnknownHostException;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class EndpointRuleTest {

  @ParameterizedTest
  @ValueSource(
      strings = {
        "http://push.example.net/x",
        "https://push.example.net:8443/x",
        "https://user@push.example.net/x",
        "https://127.0.0.1/x",
        "https://2130706433/x",
        "https://[::1]/x",
        "https://localhost/x",
        "https://no-such-host.invalid/x",
        "ftp://push.example.net/x",
        "https:/x",
        "mailto:somebody@example.net"
      })
  void endpointThatIsNoPublicPushService_isNotCalled(String endpoint) {
    assertThat(EndpointRule.publicOnly().objection(URI.create(endpoint))).isPresent();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "0.1.2.3", "10.1.2.3", "100.64.0.1", "127.8.8.8", "169.254.169.254", "172.16.0.1",
        "172.31.255.255", "192.0.0.8", "192.0.2.1", "192.168.1.1", "198.18.0.1", "198.19.255.255",
        "198.51.100.1", "203.0.113.9", "224.0.0.1", "255.255.255.255", "::", "::1",
        "::ffff:192.168.1.1", "64:ff9b::a00:1", "fc00::1", "fd12::1", "fe80::1", "ff02::1",
        "2001:0::1", "2001:db8::1", "2002:a00:1::1"
      })
  void address_ofALocalOrSpecialBlock_isNotPublic(String address) throws UnknownHostException {
    assertThat(EndpointRule.isPublic(InetAddress.getByName(address))).isFalse();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "8.8.4.4",
        "100.63.0.1",
        "100.128.0.1",
        "172.32.0.1",
        "198.20.0.1",
        "2a00:1450::1"
      })
  void address_ofThePublicInternet_isPublic(String address) throws UnknownHostException {
    assertThat(EndpointRule.isPublic(InetAddress.getByName(address))).isTrue();
  }

  @ParameterizedTest
  @ValueSource(strings = {"https://127.0.0.1/x", "http://192.168.1.1/x", "http://[::1]/x"})
  void ruleForTests_allowsNothingButHttpOnThisMachine(String endpoint) {
    assertThat(EndpointRule.loopbackToo().objection(URI.create(endpoint))).isPresent();
    assertThat(EndpointRule.loopbackToo().objection(URI.create("http://127.0.0.1:81/x"))).isEmpty();
  }
}
