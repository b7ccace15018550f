// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmVerdict;
import opercle.ingest.LocalPostgres;
import opercle.ingest.TestCertificate;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is so of a book on a server alone, while the server is well. */
class PostgresServerTest {

  private static final Duration SECOND = Duration.ofSeconds(1);

  private LocalPostgres postgres;
  private String database;
  private BookServer server;

  @BeforeEach
  void makeDatabase() throws Exception {
    postgres = LocalPostgres.shared();
    database = postgres.newDatabase();
    server = BookKind.of(postgres, database);
  }

  private static String asked(FarmBook book, String sql) {
    return book.write(
        "be asked",
        connection -> {
          try (Statement statement = connection.createStatement();
              ResultSet row = statement.executeQuery(sql)) {
            row.next();
            return row.getString(1);
          }
        });
  }

  private BookServer as(String user, String password, String database) {
    return new BookServer(
        "127.0.0.1", server.port(), database, user, Optional.of(password), false, Optional.empty());
  }

  private static BookServer overTls(BookServer server, String host, Optional<Path> caFile) {
    return new BookServer(
        host, server.port(), server.database(), server.user(), server.password(), true, caFile);
  }

  @Test
  void commit_isOnTheDisk_whateverTheServersHabit() throws Exception {
    postgres.administer("ALTER ROLE opercle SET synchronous_commit = off", database);
    try (FarmBook book = FarmBook.open(BookPlace.server(server))) {
      assertThat(asked(book, "SHOW synchronous_commit")).isEqualTo("on");
    } finally {
      postgres.administer("ALTER ROLE opercle RESET synchronous_commit", database);
    }
  }

  @Test
  void connectionThatTheServerEnded_isReplaced_andNobodyNotices() throws Exception {
    try (FarmBook book = FarmBook.open(BookPlace.server(server))) {
      String before = asked(book, "SELECT pg_backend_pid()");
      postgres.administer(
          "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'opercle'",
          "postgres");

      assertThat(asked(book, "SELECT pg_backend_pid()")).isNotEqualTo(before);
      String read =
          book.read(
              "be read",
              connection -> {
                try (Statement statement = connection.createStatement();
                    ResultSet row = statement.executeQuery("SELECT 'well'")) {
                  row.next();
                  return row.getString(1);
                }
              });
      assertThat(read).isEqualTo("well");
    }
  }

  @Test
  void writerThatHangs_keepsOthersWaiting_untilTheServerTakesItsTurnAway() throws Exception {
    BookPlace impatient =
        new PostgresServer(
            server, new PostgresServer.Patience(SECOND, SECOND.multipliedBy(5), SECOND, SECOND));
    BookPlace patient =
        new PostgresServer(
            server,
            new PostgresServer.Patience(
                SECOND, SECOND.multipliedBy(30), SECOND.multipliedBy(20), SECOND));
    PostgresServer slow =
        new PostgresServer(
            server,
            new PostgresServer.Patience(
                SECOND, SECOND.multipliedBy(5), SECOND, SECOND.multipliedBy(3)));
    FarmBook.open(patient).close();
    try (FarmBook first = FarmBook.open(impatient);
        FarmBook second = FarmBook.open(patient);
        Connection stuck = slow.writer()) {
      stuck.setAutoCommit(false);
      slow.takeTurn(stuck); // and then nothing

      assertThatThrownBy(() -> asked(first, "SELECT 1"))
          .isInstanceOf(BookException.class)
          .hasMessageContaining("another program has been writing to it for too long");
      assertThat(asked(second, "SELECT 'well'")).isEqualTo("well");
      assertThat(asked(first, "SELECT 'well'")).isEqualTo("well");
    }
  }

  @Test
  void textWithACharacterThatTheServerDoesNotTake_isKeptWithoutIt() {
    try (FarmBook book = FarmBook.open(BookPlace.server(server))) {
      boolean kept =
          book.write(
              "keep it",
              connection -> {
                AlarmTable.add(connection, "Sallow\0mere", List.of(Alarms.full()));
                return true;
              });
      assertThat(kept).isTrue();
      AlarmRecords records = new AlarmRecords(book, "Sallow\0mere");
      assertThat(records.standing()).containsExactly(Alarms.full());
      AlarmVerdict verdict =
          new AlarmVerdict(
              Alarms.full().id(), Alarms.full().since(), true, "Ma\0ren", Instant.EPOCH);
      assertThat(records.judge(verdict)).isTrue();
      assertThat(records.verdicts(Instant.EPOCH, Alarms.T0))
          .extracting(AlarmVerdict::by)
          .containsExactly("Ma\uFFFDren");
    }
  }

  @Test
  void serverThatCannotBeUsed_isTold_inOneLine_withoutThePassword() throws Exception {
    postgres.administer(
        "CREATE ROLE guest LOGIN PASSWORD '%s'".formatted(LocalPostgres.PASSWORD), database);
    try {
      refused(as("opercle", "wrong-secret", database), "refuses the user or the password");
      refused(as("opercle", LocalPostgres.PASSWORD, "none"), "has no database of that name");
      refused(as("guest", LocalPostgres.PASSWORD, database), "let it own the database");
    } finally {
      postgres.administer("DROP ROLE guest", database);
    }
    BookServer nobody =
        new BookServer(
            "127.0.0.1", 1, "opercle", "opercle", Optional.empty(), false, Optional.empty());
    refused(nobody, "cannot be reached");
    refused(overTls(server, "127.0.0.1", Optional.empty()), "does not support SSL");
  }

  private static void refused(BookServer server, String why) {
    assertThatThrownBy(() -> FarmBook.open(BookPlace.server(server)))
        .isInstanceOf(BookException.class)
        .hasMessageStartingWith("the farm book " + server + " could not ")
        .hasMessageContaining(why)
        .hasMessageNotContainingAny("\n", "secret");
    assertThat(server.toString()).doesNotContain("secret");
  }

  @Test
  void databaseOfSomebodyElse_isLeftAlone() throws Exception {
    postgres.administer("CREATE TABLE theirs (id INTEGER)", database);

    refused(server, "non-empty schema");
    assertThat(BookPlace.server(server).isThere()).isFalse();
  }

  @Test
  void overTls_theServerMustProveWhoItIs(@TempDir Path folder) throws Exception {
    TestCertificate certificate = TestCertificate.make(folder);
    try (LocalPostgres guarded = LocalPostgres.start(certificate)) {
      BookServer there = BookKind.of(guarded, guarded.newDatabase());
      Optional<Path> trusted = Optional.of(certificate.certificate());
      BookPlace place = BookPlace.server(overTls(there, "127.0.0.1", trusted));
      try (FarmBook book = FarmBook.open(place)) {
        assertThat(asked(book, "SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()"))
            .isEqualTo("t");
      }
      refused(overTls(there, "localhost", trusted), "localhost"); // not who it says it is
      refused(overTls(there, "127.0.0.1", Optional.empty()), "SSL");
    }
  }

  @Test
  void statement_thatWasPrepared_worksThroughTheTextsGuard() throws SQLException {
    try (FarmBook book = FarmBook.open(BookPlace.server(server))) {
      String said =
          book.read(
              "be read",
              connection -> {
                try (PreparedStatement select = connection.prepareStatement("SELECT ?, ?")) {
                  select.setObject(1, "a\0b");
                  select.setLong(2, 7L);
                  try (ResultSet row = select.executeQuery()) {
                    row.next();
                    return row.getString(1) + row.getLong(2);
                  }
                }
              });
      assertThat(said).isEqualTo("a\uFFFDb7");
    }
  }
}
