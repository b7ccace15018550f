// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.SQLTransientConnectionException;
import java.sql.Statement;
import java.time.Duration;
import javax.sql.DataSource;
import org.postgresql.ds.PGSimpleDataSource;
import org.postgresql.ssl.DefaultJavaSSLFactory;

/**
 * A farm book in a database of a PostgreSQL server; all that knows that it is one.
 *
 * <p>Whoever writes holds one lock of the database, as in a SQLite file: numbers that are counted
 * up are so without gaps or doubles, whatever the number of processes. No wait is without an end: a
 * server that hangs is given up, and so is a process that hangs while it holds the lock.
 */
final class PostgresServer extends BookPlace {

  /**
   * How long to wait.
   *
   * @param connect for a connection
   * @param answer for each answer
   * @param turn for others that write
   * @param idle until the server takes the lock from somebody who does nothing with it
   */
  record Patience(Duration connect, Duration answer, Duration turn, Duration idle) {

    /** A healthy server answers in milliseconds, a busy one in a second or two. */
    static final Patience USUAL =
        new Patience(
            Duration.ofSeconds(3),
            Duration.ofSeconds(10),
            Duration.ofSeconds(5),
            Duration.ofSeconds(20));
  }

  /** Steps may rewrite a whole table. */
  private static final Duration MIGRATING = Duration.ofMinutes(10);

  /** "opercle" in ASCII: ours among the locks of whatever else uses the database. */
  private static final String TAKE_TURN = "SELECT pg_advisory_xact_lock(31367303428009061)";

  private static final String IS_THERE = "SELECT to_regclass('" + Migrations.TABLE + "')";

  private final BookServer server;
  private final Patience patience;

  PostgresServer(BookServer server) {
    this(server, Patience.USUAL);
  }

  PostgresServer(BookServer server, Patience patience) {
    this.server = server;
    this.patience = patience;
  }

  @Override
  public boolean isThere() {
    try (Connection connection = looking().getConnection();
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(IS_THERE)) {
      return row.next() && row.getString(1) != null;
    } catch (SQLException e) {
      throw BookException.failed(this, "be opened", e);
    }
  }

  @Override
  public boolean isElsewhere() {
    return true;
  }

  @Override
  void prepare() {
    boolean unused = isThere(); // says in a line what the migration would say in a page
  }

  @Override
  DataSource migrating() {
    return source(MIGRATING, "");
  }

  @Override
  DataSource looking() {
    return source(patience.answer, "-c default_transaction_read_only=on");
  }

  @Override
  Connection writer() throws SQLException {
    // A server that is told to be quick and forget would answer before the disk has it.
    String options =
        "-c synchronous_commit=on -c default_transaction_isolation=read\\ committed"
            + " -c lock_timeout=%d -c idle_in_transaction_session_timeout=%d"
                .formatted(patience.turn.toMillis(), patience.idle.toMillis());
    return PlainText.in(source(patience.answer, options).getConnection());
  }

  @Override
  void takeTurn(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      boolean unused = statement.execute(TAKE_TURN);
    }
  }

  /** Class 08: the connection; 57P: the server was stopped, or ended it. */
  @Override
  boolean isGone(SQLException e) {
    String state = e.getSQLState();
    return state != null && (state.startsWith("08") || state.startsWith("57P"));
  }

  /** Beyond {@link #isGone}: it takes no more connections, is busy, or does not answer in time. */
  @Override
  boolean isAway(Exception e) {
    return e instanceof SQLException s
        && (isGone(s)
            || s instanceof SQLTransientConnectionException
            || "53300".equals(s.getSQLState())
            || "55P03".equals(s.getSQLState()));
  }

  /** What happens is said in plain words; what should not, in the server's. */
  @Override
  String reason(Exception e) {
    String said = super.reason(e);
    String state = e instanceof SQLException s && s.getSQLState() != null ? s.getSQLState() : "";
    if (said.contains("SSL")) {
      return said; // which certificate it is that nobody trusts
    }
    return switch (state) {
      case "08001" -> "the database server cannot be reached";
      case "08003", "08006", "57P01", "57P02" -> "the database server has gone, or does not answer";
      case "25006" -> "the database server takes no changes; it may follow another one";
      case "28P01", "28000" -> "the database server refuses the user or the password";
      case "3D000" -> "the database server has no database of that name";
      case "42501" -> "the user may not do that there: let it own the database";
      case "53100" -> "the disk of the database server is full";
      case "53300" -> "the database server takes no more connections";
      case "55P03" -> "another program has been writing to it for too long";
      case "57P03" -> "the database server is just starting or ending";
      case "" ->
          e instanceof SQLTransientConnectionException
              ? "the database server does not answer"
              : said;
      default -> said;
    };
  }

  @Override
  Readers readers() {
    return new PostgresReaders(looking(), patience.connect);
  }

  private PGSimpleDataSource source(Duration answer, String options) {
    PGSimpleDataSource source = new PGSimpleDataSource();
    source.setServerNames(new String[] {server.host()});
    source.setPortNumbers(new int[] {server.port()});
    source.setDatabaseName(server.database());
    source.setUser(server.user());
    server.password().ifPresent(source::setPassword);
    source.setApplicationName("Opercle");
    source.setConnectTimeout(seconds(patience.connect));
    source.setLoginTimeout(seconds(patience.connect.plus(patience.answer)));
    source.setSocketTimeout(seconds(answer));
    source.setTcpKeepAlive(true);
    source.setGssEncMode("disable");
    if (!options.isEmpty()) {
      source.setOptions(options);
    }
    source.setSslmode(server.tls() ? "verify-full" : "disable");
    if (server.tls() && server.caFile().isPresent()) {
      source.setSslRootCert(server.caFile().map(Path::toString).orElseThrow());
    } else if (server.tls()) {
      source.setSslfactory(DefaultJavaSSLFactory.class.getName());
    }
    return source;
  }

  private static int seconds(Duration duration) {
    return (int) Math.max(1, duration.toSeconds());
  }

  @Override
  public String toString() {
    return server.toString();
  }
}
