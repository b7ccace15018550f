// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.BookException;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AccessDeskTest {

  private static final String WORDS = "lorry gravel tench lamp";
  private static final String OTHER = "bucket window seven perch";

  @TempDir Path folder;
  private BookPlace place;
  private FarmBook book;
  private AccessDesk desk;
  private boolean broken;
  private Instant now = Instant.parse("2026-03-14T02:00:00Z");

  BookPlace place() {
    return BookPlace.in(folder);
  }

  @BeforeEach
  void open() {
    place = place();
    book = FarmBook.open(place);
    desk =
        new AccessDesk(
            () -> {
              if (broken) {
                throw new BookException("the disk is gone");
              }
              return Optional.of(book);
            },
            new SessionRules(Duration.ofHours(2), Duration.ofHours(5)),
            () -> now);
  }

  @AfterEach
  void close() {
    book.close();
  }

  @Test
  void session_isTheUsers_untilLoggedOut() {
    desk.add("Maren", Role.KEEP, WORDS);
    String first = logIn("maren", WORDS);
    String second = logIn(" MAREN ", WORDS);

    assertThat(second).isNotEqualTo(first).hasSize(43);
    assertThat(desk.session(first)).contains(new Identity("Maren", Role.KEEP, false));
    desk.logOut(first);
    assertThat(desk.session(first)).isEmpty();
    assertThat(desk.session(second)).isPresent();
    assertThat(desk.session("made up")).isEmpty();
  }

  @Test
  void wrongNameAndWrongPassword_areToldAlike_andTheThirdWaits() {
    desk.add("Maren", Role.KEEP, WORDS);

    assertThat(desk.logIn("Maren", OTHER, "192.0.2.1")).isEqualTo(new LogIn.Wrong());
    assertThat(desk.logIn("Tove", OTHER, "192.0.2.1")).isEqualTo(new LogIn.Wrong());
    desk.logIn("Maren", OTHER, "192.0.2.1");
    desk.logIn("Maren", OTHER, "192.0.2.1");
    assertThat(desk.logIn("Maren", WORDS, "192.0.2.1")).isInstanceOf(LogIn.Later.class);
    now = now.plusSeconds(1);
    assertThat(desk.logIn("Maren", WORDS, "192.0.2.1")).isInstanceOf(LogIn.Done.class);
  }

  @Test
  void session_endsUnused_andInAll() {
    desk.add("Maren", Role.KEEP, WORDS);
    String unused = logIn("Maren", WORDS);
    String used = logIn("Maren", WORDS);
    now = now.plus(Duration.ofMinutes(119));
    assertThat(desk.session(used)).isPresent();
    now = now.plus(Duration.ofMinutes(1));
    assertThat(desk.session(unused)).isEmpty();
    assertThat(desk.session(used)).isPresent();
    now = now.plus(Duration.ofMinutes(110));
    assertThat(desk.session(used)).isPresent();
    now = now.plus(Duration.ofMinutes(70));
    assertThat(desk.session(used)).as("five hours in all").isEmpty();
  }

  @Test
  void change_endsTheUsersSessions_andNobodyElses() {
    desk.add("Maren", Role.MANAGE, WORDS);
    desk.add("Tove", Role.KEEP, WORDS);
    String maren = logIn("Maren", WORDS);
    for (Runnable change :
        List.<Runnable>of(
            () -> desk.setRole("Tove", Role.LOOK, false),
            () -> desk.setPassword("Tove", WORDS),
            () -> desk.remove("Tove", false))) {
      String tove = logIn("Tove", WORDS);
      change.run();
      assertThat(desk.session(tove)).isEmpty();
      assertThat(desk.session(maren)).isPresent();
    }
    desk.add("Tove", Role.KEEP, WORDS);
    assertThat(desk.users()).extracting(User::name).containsExactly("Maren", "Tove");
  }

  @Test
  void lastWhoCanManage_stays_unlessTheCommandLineSaysSo() {
    desk.add("Maren", Role.MANAGE, WORDS);
    desk.add("Tove", Role.KEEP, WORDS);

    assertThatThrownBy(() -> desk.remove("Maren", false))
        .hasMessageContaining("last who can manage");
    assertThatThrownBy(() -> desk.setRole("Maren", Role.KEEP, false))
        .hasMessageContaining("last who can manage");
    desk.setRole("Tove", Role.MANAGE, false);
    desk.remove("Maren", false);
    desk.remove("Tove", true);
    assertThat(desk.hasUsers()).isFalse();
  }

  @Test
  void token_isShownOnce_scoped_revocable_andSaysWhenItWasUsed() {
    ApiToken.Made made = desk.addToken("the gate's display", Role.LOOK, "Maren");

    assertThat(made.secret()).startsWith("opercle_").hasSize(51);
    assertThat(made.toString()).doesNotContain(made.secret());
    assertThat(desk.tokens()).containsExactly(made.token());
    assertThat(desk.token(made.secret()))
        .contains(new Identity("the gate's display", Role.LOOK, true));
    assertThat(desk.tokens().get(0).used()).contains(now);
    assertThat(desk.token(made.secret() + "x")).isEmpty();
    desk.revokeToken(made.token().id());
    assertThat(desk.token(made.secret())).isEmpty();
  }

  @Test
  void book_holdsNoSecret() {
    desk.add("Maren", Role.KEEP, WORDS);
    String session = logIn("Maren", WORDS);
    String token = desk.addToken("display", Role.LOOK, "Maren").secret();

    String all =
        book.read(
            "read everything",
            connection -> {
              StringBuilder text = new StringBuilder();
              for (String table : List.of("access_user", "access_session", "access_token")) {
                try (var statement = connection.createStatement();
                    var rows = statement.executeQuery("SELECT * FROM " + table)) {
                  while (rows.next()) {
                    for (int i = 1; i <= rows.getMetaData().getColumnCount(); i++) {
                      text.append(rows.getString(i)).append('\n');
                    }
                  }
                }
              }
              return text.toString();
            });

    assertThat(all).contains("Maren", "argon2id").doesNotContain(WORDS, session, token);
  }

  @Test
  void bookThatCannotBeRead_letsInWhoWasIn_andNobodyElse() {
    desk.add("Maren", Role.KEEP, WORDS);
    String known = logIn("Maren", WORDS);
    String unseen = logIn("Maren", WORDS);
    assertThat(desk.session(known)).isPresent();
    assertThat(desk.hasUsers()).isTrue();
    broken = true;

    assertThat(desk.session(known)).isPresent();
    assertThat(desk.session(unseen)).isEmpty();
    assertThat(desk.hasUsers()).isTrue();
  }

  @Test
  void bookThatWasNeverRead_isTakenToHaveUsers() {
    broken = true;

    assertThat(desk.hasUsers()).isTrue();
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " ", "a\r\nSet-Cookie: x", "a\u202eb", "a\u0000b"})
  void name_thatCannotBeSeen_isRefused(String name) {
    assertThatThrownBy(() -> desk.add(name, Role.LOOK, WORDS))
        .isInstanceOf(RefusedAccessException.class);
    assertThatThrownBy(() -> desk.addToken(name, Role.LOOK, "Maren"))
        .isInstanceOf(RefusedAccessException.class);
  }

  @Test
  void user_ofTheSameName_isRefused() {
    desk.add("Maren", Role.LOOK, WORDS);

    assertThatThrownBy(() -> desk.add("MAREN", Role.MANAGE, WORDS))
        .hasMessage("There is a user MAREN already.");
  }

  private String logIn(String name, String password) {
    return ((LogIn.Done) desk.logIn(name, password, "192.0.2.1")).secret();
  }
}
