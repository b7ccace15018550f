// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.password4j.Argon2Function;
import com.password4j.types.Argon2;
import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PasswordsTest {

  private final Passwords passwords = new Passwords();

  @Test
  void hash_isArgon2id_withItsParametersAndASaltOfItsOwn() {
    String hash = passwords.hash("lorry gravel tench lamp");

    assertThat(hash).startsWith("$argon2id$v=19$m=19456,t=2,p=1$");
    assertThat(passwords.hash("lorry gravel tench lamp")).isNotEqualTo(hash);
    assertThat(passwords.matches("lorry gravel tench lamp", hash)).isTrue();
    assertThat(passwords.matches("lorry gravel tench lamP", hash)).isFalse();
    assertThat(passwords.matches("", hash)).isFalse();
  }

  /** Made with raised parameters: what was kept before still serves after they are changed. */
  @Test
  void hash_ofOtherParameters_isStillRead() {
    String other =
        Argon2Function.getInstance(8 * 1024, 1, 1, 32, Argon2.ID)
            .hash("lorry gravel tench lamp", "0123456789abcdef")
            .getResult();

    assertThat(passwords.matches("lorry gravel tench lamp", other)).isTrue();
    assertThat(passwords.matches("lorry gravel tench lam", other)).isFalse();
  }

  /** A stranger must not see from the time that it takes whether there is such a user. */
  @Test
  void nobodysPassword_isAsMuchWorkAsAnybodys() {
    String hash = passwords.hash("lorry gravel tench lamp");
    assertThat(Passwords.NOBODYS).hasSameSizeAs(hash).startsWith(hash.substring(0, 31));
    passwords.matchNobody("lorry gravel tench lamp");
  }

  /** RFC 9106 section 5.3, without its secret and data, which the library does not take. */
  @Test
  void library_agreesWithTheReferenceImplementation() {
    // From the reference implementation's own test: argon2id, v=19, t=2, m=2^8 KiB, p=1,
    // "password", "somesalt" (phc-winner-argon2, src/test.c).
    byte[] hash =
        Argon2Function.getInstance(256, 2, 1, 32, Argon2.ID, 19)
            .hash("password", "somesalt")
            .getBytes();

    assertThat(HexFormat.of().formatHex(hash))
        .isEqualTo("9dfeb910e80bad0311fee20f9c0e2b12c17987b4cac90c2ef54d5b3021c68bfe");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"", "short", "elevenlette", "aaaaaaaaaaaaaa", "MarenMarenMaren", "abababababab"})
  void password_thatIsGuessed_isRefused(String password) {
    assertThatThrownBy(() -> Passwords.check("Maren", password))
        .isInstanceOf(RefusedAccessException.class)
        .hasMessageNotContaining("Exception");
  }

  @Test
  void password_ofFourWords_isTaken() {
    Passwords.check("Maren", "lorry gravel tench lamp");
  }
}
