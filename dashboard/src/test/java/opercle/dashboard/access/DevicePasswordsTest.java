// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DevicePasswordsTest {

  private final DevicePasswords passwords = new DevicePasswords();

  @Test
  void hash_matchesItsPasswordAndNoOther() {
    String hash = passwords.hash("probe-h1", "lorry gravel tench lamp");

    assertThat(DevicePasswords.isHash(hash)).isTrue();
    assertThat(passwords.matches("lorry gravel tench lamp", hash)).isTrue();
    assertThat(passwords.matches("lorry gravel tench lamP", hash)).isFalse();
    assertThat(passwords.matches("", hash)).isFalse();
  }

  @Test
  void hash_ofWhatIsGuessed_isRefused() {
    assertThatThrownBy(() -> passwords.hash("probe-h1", "probe-h1probe-h1"))
        .isInstanceOf(RefusedAccessException.class);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "lorry gravel tench lamp",
        "$argon2id$",
        "$argon2id$v=19$m=19456",
        "$argon2id$v=19$m=x,t=2,p=1$c2FsdA$aGFzaA",
        "$2b$12$abcdefghijklmnopqrstuu"
      })
  void isHash_ofWhatIsNone_isFalse(String text) {
    assertThat(DevicePasswords.isHash(text)).isFalse();
  }
}
