// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import javax.sql.DataSource;
import opercle.ingest.LocalPostgres;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The connections that pages read with, when the server goes just as they are being made. */
class PostgresReadersTest {

  private static final Duration LONG = Duration.ofSeconds(30);

  /** A connection's first questions, each of which may be the one that gets no answer. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "getNetworkTimeout",
        "setNetworkTimeout",
        "isReadOnly",
        "getAutoCommit",
        "isValid",
        "getTransactionIsolation"
      })
  void serverThatGoesWhileAConnectionIsMade_isReadAgainOnceItIsBack(String question)
      throws Exception {
    LocalPostgres postgres = LocalPostgres.shared();
    DataSource real = new PostgresServer(BookKind.of(postgres, postgres.newDatabase())).looking();
    Set<String> unanswered = ConcurrentHashMap.newKeySet();
    unanswered.add(question);
    try (PostgresReaders readers =
        new PostgresReaders(unanswered(real, unanswered), Duration.ofSeconds(1))) {
      await().atMost(LONG).ignoreExceptions().until(() -> one(readers) == 1);
      assertThat(unanswered).isEmpty();
    }
  }

  @Test
  void readers_neverWaitForEachOther_whileTheServerIsWell() throws Exception {
    LocalPostgres postgres = LocalPostgres.shared();
    PostgresServer server = new PostgresServer(BookKind.of(postgres, postgres.newDatabase()));
    try (PostgresReaders readers = new PostgresReaders(server.looking(), LONG);
        Connection held = readers.connection()) {
      assertThat(one(readers)).isEqualTo(1);
      assertThat(held.isValid(1)).isTrue();
    }
  }

  private static int one(PostgresReaders readers) throws SQLException {
    try (Connection connection = readers.connection();
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("SELECT 1")) {
      row.next();
      return row.getInt(1);
    }
  }

  /** Answers like the other, but once not at all to each of these questions. */
  private static DataSource unanswered(DataSource real, Set<String> questions) {
    return proxy(
        DataSource.class,
        real,
        new HashSet<>(),
        made ->
            made instanceof Connection c ? proxy(Connection.class, c, questions, m -> m) : made);
  }

  private interface Wrapping {
    Object around(Object answer);
  }

  private static <T> T proxy(Class<T> type, T real, Set<String> questions, Wrapping wrapping) {
    return type.cast(
        Proxy.newProxyInstance(
            type.getClassLoader(),
            new Class<?>[] {type},
            (self, method, arguments) -> {
              if (questions.remove(method.getName())) {
                throw new SQLException("An I/O error occurred", "08006");
              }
              try {
                Object answer = method.invoke(real, arguments);
                return answer == null ? null : wrapping.around(answer);
              } catch (InvocationTargetException e) {
                throw e.getCause();
              }
            }));
  }
}
