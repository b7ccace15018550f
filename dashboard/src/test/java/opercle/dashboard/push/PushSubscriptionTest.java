// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.util.Base64;
import org.junit.jupiter.api.Test;

class PushSubscriptionTest {

  private static final PushSubscription GOOD = new FakeDevice().at("https://push.example.net/x");

  @Test
  void keyOfAnotherForm_isRefused() {
    assertThatThrownBy(() -> of("https://push.example.net/x", base64(new byte[33]), GOOD.auth()))
        .hasMessageContaining("keys.p256dh")
        .hasMessageContaining("65 bytes");
    assertThatThrownBy(() -> of("https://push.example.net/x", "***", GOOD.auth()))
        .hasMessageContaining("base64url");
    assertThatThrownBy(() -> of("https://push.example.net/x", "A".repeat(129), GOOD.auth()))
        .hasMessageContaining("at most 128 letters");
  }

  @Test
  void secretOfAnotherLength_isRefused() {
    assertThatThrownBy(() -> of("https://push.example.net/x", GOOD.p256dh(), base64(new byte[15])))
        .hasMessage("keys.auth: the secret must be 16 bytes.");
  }

  @Test
  void endpointTooLongOrNoAddress_isRefused() {
    assertThatThrownBy(() -> of("https://a/" + "x".repeat(1024), GOOD.p256dh(), GOOD.auth()))
        .hasMessageContaining("endpoint")
        .hasMessageContaining("1024");
    assertThatThrownBy(() -> of("https://a b", GOOD.p256dh(), GOOD.auth()))
        .hasMessage("endpoint: is not a web address.");
  }

  @Test
  void service_isShown_withoutTheSecretPart() {
    assertThat(GOOD.service()).isEqualTo("push.example.net");
  }

  private static PushSubscription of(String endpoint, String key, String auth) {
    return PushSubscription.of(endpoint, key, auth, "Maren", Instant.EPOCH);
  }

  private static String base64(byte[] bytes) {
    return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
  }
}
