// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.dashboard.access.AccessDesk;
import opercle.dashboard.access.Identity;
import opercle.dashboard.access.LogIn;
import opercle.dashboard.access.Role;
import opercle.dashboard.access.SessionRules;
import opercle.dashboard.web.DashboardSettings;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code user} and {@code token}, as they are typed, beside a book that is open all the while. */
class UserCommandTest {

  private static final String WORDS = "lorry gravel tench lamp";

  @TempDir Path folder;
  private final InputStream in = System.in;
  private FarmBook book;
  private AccessDesk access;
  private String out = "";
  private String err = "";

  @BeforeEach
  void write() throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - { id: h1, kind: holding, waterLitres: 900,
              supply: { gas: air, source: blower, diffuser: ceramic, flowLPerMin: 9 } }
        """);
    configure("");
    Path data = folder.resolve("data");
    book = FarmBook.open(FarmBook.fileIn(data));
    access = new AccessDesk(() -> Optional.of(book), SessionRules.USUAL, java.time.Instant::now);
  }

  @AfterEach
  void close() {
    System.setIn(in);
    book.close();
  }

  private void configure(String more) throws IOException {
    Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\ndataFolder: data\n" + more);
  }

  @Test
  void user_isAdded_listed_changedAndRemoved_whileOpercleRuns() {
    assertThat(run(WORDS, "user", "add", "Maren", "--role", "manage")).isZero();
    assertThat(out).isEqualTo("Maren can log in, and may manage.\n");
    assertThat(access.logIn("Maren", WORDS, "192.0.2.1")).isInstanceOf(LogIn.Done.class);

    assertThat(run("", "user", "list")).isZero();
    assertThat(out).isEqualTo("manage  Maren\n");

    assertThat(run("", "user", "role", "Maren", "look")).isZero();
    assertThat(access.users().get(0).role()).isEqualTo(Role.LOOK);

    String session = ((LogIn.Done) access.logIn("Maren", WORDS, "192.0.2.1")).secret();
    assertThat(run("bucket window seven perch", "user", "password", "Maren")).isZero();
    assertThat(access.session(session)).isEmpty();

    assertThat(run("", "user", "remove", "Maren")).isZero();
    assertThat(access.hasUsers()).isFalse();
    assertThat(run("", "user", "list")).isZero();
    assertThat(out).contains("no users");
  }

  @Test
  void whatCannotBe_isOneLine_withExitCode2_andNeverThePassword() {
    assertThat(run("short", "user", "add", "Maren", "--role", "keep")).isEqualTo(2);
    assertThat(err).contains("12–256 letters").doesNotContain("\tat ", "short").hasLineCount(1);
    assertThat(run("", "user", "add", "Maren", "--role", "keep")).isEqualTo(2);
    assertThat(run(WORDS, "user", "add", "Maren", "--role", "owner")).isEqualTo(2);
    assertThat(err).contains("\"owner\" must be one of look, keep, manage");
    assertThat(run("", "user", "remove", "Nobody")).isEqualTo(2);
    assertThat(err).contains("There is no user Nobody.");
    assertThat(run("", "user")).isEqualTo(2);
    // A password is no argument, so that nobody can make the mistake.
    assertThat(run("", "user", "add", "Maren", WORDS, "--role", "keep")).isEqualTo(2);
  }

  @Test
  void token_isPrintedOnce_listedAndRevoked() {
    assertThat(run("", "token", "add", "the gate's display", "--role", "look")).isZero();
    String secret = out.strip();
    assertThat(access.token(secret)).contains(new Identity("the gate's display", Role.LOOK, true));

    assertThat(run("", "token", "list")).isZero();
    assertThat(out).contains("look    the gate's display", "used 20").doesNotContain(secret);
    assertThat(run("", "token", "revoke", out.substring(0, 10))).isZero();
    assertThat(access.token(secret)).isEmpty();
    assertThat(run("", "token", "revoke", "none")).isEqualTo(2);
  }

  @Test
  void addressThatOthersReach_isRefusedUntilThereIsAUser_namingTheCommand() throws IOException {
    configure("dashboard: { host: 0.0.0.0, port: 0 }\n");
    Configuration c = ConfigurationReader.read(folder.resolve("opercle.yaml"));

    assertThatThrownBy(() -> c.door().settings(c, () -> Optional.of(book)))
        .isInstanceOf(UnusableInputException.class)
        .hasMessageStartingWith(
            folder.resolve("opercle.yaml") + ": dashboard.host: \"0.0.0.0\" can")
        .hasMessageContaining("opercle user add NAME --role manage --config ")
        .extracting(e -> String.valueOf(e.getMessage()).lines().count())
        .isEqualTo(1L);
    assertThatThrownBy(() -> c.door().settings(c, Optional::empty))
        .isInstanceOf(UnusableInputException.class);

    run(WORDS, "user", "add", "Maren", "--role", "manage");
    DashboardSettings settings = c.door().settings(c, () -> Optional.of(book));
    assertThat(settings.host()).isEqualTo("0.0.0.0");
  }

  @Test
  void sessionLimitsAndProxies_areRead() throws IOException {
    configure(
        "dashboard: { sessionIdleHours: 12, sessionDays: 2, trustedProxies: '127.0.0.1, 10.0.0.0/8' }\n");

    Door door = ConfigurationReader.read(folder.resolve("opercle.yaml")).door();

    assertThat(door.rules().idle()).hasHours(12);
    assertThat(door.rules().most()).hasDays(2);
  }

  /** A book that no process reads would be of no use. */
  @Test
  void whereThereAreSites_itIsDoneInTheBookOfEach_orOfTheOneThatIsChosen() throws IOException {
    configure(
        """
        mqtt: { broker: "tcp://broker:1883" }
        sites:
          - { name: North, topics: "tanks/h1/#" }
          - { name: South, topics: "tanks/s1/#" }
        """);

    assertThat(run(WORDS, "user", "add", "Maren", "--role", "keep")).isZero();
    assertThat(out)
        .isEqualTo(
            "North:\nMaren can log in, and may keep.\nSouth:\nMaren can log in, and may keep.\n");
    assertThat(run("", "user", "remove", "Maren", "--site", "South")).isZero();
    assertThat(run(WORDS, "user", "add", "Maren", "--role", "keep")).isEqualTo(2);
    assertThat(err).contains("North").doesNotContain("South");
    assertThat(run("", "user", "list")).isZero();
    assertThat(out).isEqualTo("North:\nkeep    Maren\nSouth:\nkeep    Maren\n");

    assertThat(run("", "token", "add", "board", "--role", "look", "--site", "South")).isZero();
    assertThat(run("", "token", "list", "--site", "South")).isZero();
    String id = out.substring(0, out.indexOf(' '));
    assertThat(run("", "token", "revoke", id)).as("of whichever site has it").isZero();
    assertThat(out).isEqualTo("South: The token " + id + " is worth nothing from now on.\n");
    assertThat(run("", "token", "revoke", id)).isEqualTo(2);
    assertThat(err).contains("There is no such key", "\"token list\" shows", "North", "South");
    assertThat(access.users()).isEmpty();
  }

  private int run(String input, String... words) {
    System.setIn(new ByteArrayInputStream((input.isEmpty() ? "" : input + "\n").getBytes(UTF_8)));
    boolean asks = !input.isEmpty() && words[0].equals("user") && words.length > 1;
    String[] args = new String[words.length + (words.length > 1 ? 2 : 0) + (asks ? 1 : 0)];
    System.arraycopy(words, 0, args, 0, words.length);
    if (words.length > 1) {
      args[words.length] = "--config";
      args[words.length + 1] = folder.resolve("opercle.yaml").toString();
    }
    if (asks) {
      args[args.length - 1] = "--password-stdin";
    }
    var printed = new StringWriter();
    var complaint = new StringWriter();
    int code =
        OpercleCommand.run(args, new PrintWriter(printed, true), new PrintWriter(complaint, true));
    out = printed.toString();
    err = complaint.toString();
    return code;
  }
}
