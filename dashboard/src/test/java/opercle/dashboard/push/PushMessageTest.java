// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.time.Instant;
import java.util.Base64;
import org.junit.jupiter.api.Test;

/** The test vectors that the standards print, both ways. */
class PushMessageTest {

  // RFC 8291 section 5 and appendix A.
  private static final String PLAIN = "When I grow up, I want to be a watermelon";
  private static final String AS_PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw";
  private static final String AS_PUBLIC =
      "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8";
  private static final String UA_PRIVATE = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94";
  private static final String UA_PUBLIC =
      "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4";
  private static final String AUTH = "BTBZMqHH6r4Tts7J_aSIgg";
  private static final String SALT = "DGv6ra1nlYgDCS1FRnbzlw";
  private static final String SHARED = "kyrL1jIIOHEzg3sM2ZWRHDRB62YACZhhSlknJ672kSs";
  private static final String MESSAGE =
      "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
          + "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
          + "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN";

  @Test
  void message_ofRfc8291_isMadeToTheByte() {
    var to =
        new PushSubscription(
            URI.create("https://push.example.net/x"), UA_PUBLIC, AUTH, "", Instant.EPOCH);
    var own = new KeyPair(P256.publicKey(bytes(AS_PUBLIC)), P256.privateKey(bytes(AS_PRIVATE)));

    byte[] message = PushMessage.encrypt(ascii(PLAIN), to, own, bytes(SALT));

    assertThat(text(message)).isEqualTo(MESSAGE);
  }

  @Test
  void sharedSecret_ofRfc8291_isTheSameFromBothSides() {
    assertThat(
            text(P256.shared(P256.privateKey(bytes(AS_PRIVATE)), P256.publicKey(bytes(UA_PUBLIC)))))
        .isEqualTo(SHARED);
    assertThat(
            text(P256.shared(P256.privateKey(bytes(UA_PRIVATE)), P256.publicKey(bytes(AS_PUBLIC)))))
        .isEqualTo(SHARED);
  }

  @Test
  void message_ofRfc8291_isReadByOurTestDevice() throws GeneralSecurityException {
    var device =
        new FakeDevice(
            new KeyPair(P256.publicKey(bytes(UA_PUBLIC)), P256.privateKey(bytes(UA_PRIVATE))),
            bytes(AUTH));

    assertThat(device.read(bytes(MESSAGE))).isEqualTo(PLAIN);
  }

  /** RFC 8188 section 3.1. */
  @Test
  void content_ofOneRecord_isAsInRfc8188() {
    byte[] message =
        EncryptedContent.encrypt(
            ascii("I am the walrus"),
            bytes("yqdlZ-tYemfogSmv7Ws5PQ"),
            bytes("I1BsxtFttlv3u_Oo94xnmw"),
            new byte[0]);

    assertThat(text(message))
        .isEqualTo("I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg");
  }

  /** RFC 8188 section 3.2: pins the reader that the other tests rely on. */
  @Test
  void content_ofTwoRecordsAndPadding_isReadByOurTestReader() throws GeneralSecurityException {
    var message =
        new Decryption(
            bytes(
                "uNCkWiNYzKTnBN9ji3-qWAAAABkCYTHOG8chz_gnvgOqdGYovxyjuqRyJFjEDyoF"
                    + "1Fvkj6hQPdPHI51OEUKEpgz3SsLWIqS_uA"));

    assertThat(message.keyId()).isEqualTo(ascii("a1"));
    assertThat(message.content(bytes("BO3ZVPxUlnLORbVGMpbT1Q")))
        .isEqualTo(ascii("I am the walrus"));
  }

  @Test
  void everyMessage_hasKeyAndSaltOfItsOwn() throws GeneralSecurityException {
    var device = new FakeDevice();
    PushSubscription to = device.at("https://push.example.net/x");

    byte[] one = PushMessage.encrypt(ascii("gas has stopped"), to);
    byte[] two = PushMessage.encrypt(ascii("gas has stopped"), to);

    assertThat(one).isNotEqualTo(two);
    assertThat(device.read(one)).isEqualTo("gas has stopped");
    assertThat(device.read(two)).isEqualTo("gas has stopped");
  }

  @Test
  void largestMessage_fits4096Bytes_andOneMoreIsRefused() {
    PushSubscription to = new FakeDevice().at("https://push.example.net/x");

    assertThat(PushMessage.MOST_BYTES).isEqualTo(3993); // RFC 8291 section 4
    assertThat(PushMessage.encrypt(new byte[PushMessage.MOST_BYTES], to)).hasSize(4096);
    assertThatThrownBy(() -> PushMessage.encrypt(new byte[PushMessage.MOST_BYTES + 1], to))
        .hasMessageContaining("3993")
        .hasMessageContaining("3994");
  }

  private static byte[] bytes(String base64) {
    return Base64.getUrlDecoder().decode(base64);
  }

  private static String text(byte[] bytes) {
    return Base64.getUrlEncoder().withoutPadding().encodeToString(bytes);
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
