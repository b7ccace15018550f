// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.security.KeyPair;
import java.time.Instant;
import java.util.Arrays;
import java.util.Base64;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/**
 * What is sent is read by a receiver of our own, which in turn is pinned by the test vectors that
 * the standards print. Sent bytes cannot be compared: each message has a key and a salt of its own.
 */
class EncryptionTest {

  // RFC 8291 section 5 and appendix A.
  private static final String PLAIN = "When I grow up, I want to be a watermelon";
  private static final String AS_PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw";
  private static final String AS_PUBLIC =
      "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8";
  private static final String UA_PRIVATE = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94";
  private static final String UA_PUBLIC =
      "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4";
  private static final String AUTH = "BTBZMqHH6r4Tts7J_aSIgg";
  private static final String SHARED = "kyrL1jIIOHEzg3sM2ZWRHDRB62YACZhhSlknJ672kSs";
  private static final String MESSAGE =
      "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
          + "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
          + "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN";

  private final PushKeys keys = PushKeys.fresh(Optional.empty());

  @Test
  void message_toTheDeviceOfRfc8291_isReadByIt() throws GeneralSecurityException {
    PushSubscription to =
        new PushSubscription(
            URI.create("https://push.example.net/x"), UA_PUBLIC, AUTH, "", Instant.EPOCH);

    byte[] message = keys.encrypted(ascii(PLAIN), to);

    assertThat(deviceOfRfc8291().read(message)).isEqualTo(PLAIN);
    assertThat(message).hasSameSizeAs(bytes(MESSAGE));
    // Record size and length of the key id, RFC 8188 section 2.1.
    assertThat(Arrays.copyOfRange(message, 16, 21)).containsExactly(0, 0, 16, 0, 65);
  }

  @Test
  void sharedSecret_ofRfc8291_isTheSameFromBothSides() throws GeneralSecurityException {
    assertThat(
            text(P256.shared(P256.privateKey(bytes(AS_PRIVATE)), P256.publicKey(bytes(UA_PUBLIC)))))
        .isEqualTo(SHARED);
    assertThat(
            text(P256.shared(P256.privateKey(bytes(UA_PRIVATE)), P256.publicKey(bytes(AS_PUBLIC)))))
        .isEqualTo(SHARED);
  }

  @Test
  void message_ofRfc8291_isReadByOurTestDevice() throws GeneralSecurityException {
    assertThat(deviceOfRfc8291().read(bytes(MESSAGE))).isEqualTo(PLAIN);
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

    byte[] one = keys.encrypted(ascii("gas has stopped"), to);
    byte[] two = keys.encrypted(ascii("gas has stopped"), to);

    assertThat(one).isNotEqualTo(two);
    assertThat(device.read(one)).isEqualTo("gas has stopped");
    assertThat(device.read(two)).isEqualTo("gas has stopped");
  }

  /** Coordinates that begin with a zero byte come once in 128 keys; they must keep their place. */
  @Test
  void messagesToManyDevices_areAllRead() throws GeneralSecurityException {
    for (int i = 0; i < 500; i++) {
      var device = new FakeDevice();

      byte[] message = keys.encrypted(ascii("gas has stopped"), device.at("https://a.example/x"));

      assertThat(device.read(message)).isEqualTo("gas has stopped");
    }
  }

  @Test
  void largestMessage_fits4096Bytes() {
    PushSubscription to = new FakeDevice().at("https://push.example.net/x");

    assertThat(keys.encrypted(new byte[PushSender.MOST_BYTES], to)).hasSize(4096); // RFC 8291 4
  }

  private static FakeDevice deviceOfRfc8291() throws GeneralSecurityException {
    return new FakeDevice(
        new KeyPair(P256.publicKey(bytes(UA_PUBLIC)), P256.privateKey(bytes(UA_PRIVATE))),
        bytes(AUTH));
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
