// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.icegreen.greenmail.util.DummySSLSocketFactory;
import com.icegreen.greenmail.util.GreenMail;
import com.icegreen.greenmail.util.ServerSetup;
import jakarta.mail.MessagingException;
import jakarta.mail.Session;
import jakarta.mail.URLName;
import jakarta.mail.internet.MimeMessage;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.time.Duration;
import java.util.Optional;
import java.util.Properties;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.Delivery;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.calling.MailSettings.Security;
import org.eclipse.angus.mail.smtp.SMTPTransport;
import org.junit.jupiter.api.Test;

/** Against a real mail server in this process. */
class MailChannelTest {

  private static GreenMail started(String protocol) {
    ServerSetup setup = new ServerSetup(0, "127.0.0.1", protocol);
    setup.setServerStartupTimeout(30_000);
    GreenMail server = new GreenMail(setup);
    server.setUser("opercle", "tench");
    server.start();
    return server;
  }

  private static MailSettings to(int port, Security security, Optional<String> password) {
    return new MailSettings(
        "127.0.0.1",
        port,
        security,
        password.map(p -> "opercle"),
        password,
        "opercle@sallowmere.example");
  }

  private static Properties with(String... pairs) {
    Properties properties = new Properties();
    for (int i = 0; i < pairs.length; i += 2) {
      properties.put(pairs[i], pairs[i + 1]);
    }
    return properties;
  }

  @Test
  void mail_hasSubjectWordsLinkAndALastingId_andGoesToAll() throws Exception {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTP);
    try {
      MailChannel channel =
          new MailChannel(
              to(server.getSmtp().getPort(), Security.NONE, Optional.empty()),
              "maren@sallowmere.example, tomas@sallowmere.example");

      assertThat(channel.deliver(Made.message())).isInstanceOf(Delivery.Accepted.class);
      assertThat(channel.deliver(Made.message())).isInstanceOf(Delivery.Accepted.class);

      assertThat(server.waitForIncomingEmail(5000, 4)).isTrue();
      MimeMessage mail = server.getReceivedMessages()[0];
      assertThat(mail.getSubject()).isEqualTo("Holding 2: gas has stopped, 9 min");
      assertThat(mail.getContent().toString())
          .contains("Go and get the blower running.", "https://fish.example.org/have/a.b");
      assertThat(mail.getHeader("Importance")).containsExactly("high");
      assertThat(server.getReceivedMessages())
          .extracting(MimeMessage::getMessageID)
          .containsOnly("<11111111-2222-3333-4444-555555555555@opercle.invalid>");
    } finally {
      server.stop();
    }
  }

  @Test
  void mailAboutTheMonitor_isUrgent_andSaysWhatToDo() throws Exception {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTP);
    try {
      MailChannel channel =
          new MailChannel(
              to(server.getSmtp().getPort(), Security.NONE, Optional.empty()),
              "maren@sallowmere.example");
      Message message =
          new Words(Made.farm())
              .message(
                  Made.monitorCall(
                      Kind.MONITOR,
                      Optional.empty(),
                      Made.trouble(TroubleKind.BROKER_LOST, "No readings arrive: no answer.")),
                  Optional.of(URI.create("https://fish.example.org/have/monitor/a.b")));

      assertThat(channel.deliver(message)).isInstanceOf(Delivery.Accepted.class);

      assertThat(server.waitForIncomingEmail(5000, 1)).isTrue();
      MimeMessage mail = server.getReceivedMessages()[0];
      assertThat(mail.getSubject()).isEqualTo("Monitor: no probe is heard");
      assertThat(mail.getContent().toString())
          .contains("Look at the fish; see that the hub that probes send to runs")
          .contains("https://fish.example.org/have/monitor/a.b");
      assertThat(mail.getHeader("Importance")).containsExactly("high");
    } finally {
      server.stop();
    }
  }

  /** Has the mail taken, and then is cut off. */
  public static final class CutOffAtTheGoodbye extends SMTPTransport {
    /** As the mail library makes it. */
    public CutOffAtTheGoodbye(Session session, URLName name) {
      super(session, name);
    }

    @Override
    public synchronized void close() throws MessagingException {
      super.close();
      throw new MessagingException("Can't send command to SMTP host");
    }
  }

  @Test
  void goodbyeThatFails_afterTheMailIsTaken_isNoReasonToSendItAgain() {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTP);
    try {
      MailChannel channel =
          new MailChannel(
              to(server.getSmtp().getPort(), Security.NONE, Optional.empty()),
              "maren@sallowmere.example",
              with("mail.smtp.class", CutOffAtTheGoodbye.class.getName()));

      assertThat(channel.deliver(Made.message())).isInstanceOf(Delivery.Accepted.class);
      assertThat(server.getReceivedMessages()).hasSize(1);
    } finally {
      server.stop();
    }
  }

  @Test
  void logInThatIsRefused_isSaid_withoutThePassword() {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTP);
    try {
      MailChannel channel =
          new MailChannel(
              to(server.getSmtp().getPort(), Security.NONE, Optional.of("roach")),
              "maren@sallowmere.example");

      Delivery.Failed failed = (Delivery.Failed) channel.deliver(Made.message());

      assertThat(failed.reason()).contains("refuses the log-in of opercle").doesNotContain("roach");
      assertThat(failed.again()).isFalse();
    } finally {
      server.stop();
    }
  }

  @Test
  void startTls_thatTheServerDoesNotOffer_sendsNothing() {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTP);
    try {
      MailChannel channel =
          new MailChannel(
              to(server.getSmtp().getPort(), Security.STARTTLS, Optional.of("tench")),
              "maren@sallowmere.example");

      assertThat(channel.deliver(Made.message())).isInstanceOf(Delivery.Failed.class);
      assertThat(server.getReceivedMessages()).isEmpty();
    } finally {
      server.stop();
    }
  }

  @Test
  void startTls_hidesLogInAndWords_andAnUnknownCertificateIsRefused() throws IOException {
    try (StartTlsServer server = new StartTlsServer()) {
      MailSettings settings = to(server.port(), Security.STARTTLS, Optional.of("tench"));

      Delivery strict =
          new MailChannel(settings, "maren@sallowmere.example").deliver(Made.message());
      assertThat(strict).isInstanceOf(Delivery.Failed.class);
      assertThat(server.hidden).isEmpty();

      Delivery trusting =
          new MailChannel(
                  settings,
                  "maren@sallowmere.example",
                  with("mail.smtp.ssl.trust", "*", "mail.smtp.ssl.checkserveridentity", "false"))
              .deliver(Made.message());
      assertThat(trusting).isInstanceOf(Delivery.Accepted.class);
      assertThat(server.hidden)
          .anyMatch(line -> line.startsWith("AUTH"))
          .anyMatch(line -> line.contains("Subject: Holding 2: gas has stopped"));
      assertThat(server.clear).allMatch(line -> line.matches("EHLO.*|STARTTLS|QUIT"));
    }
  }

  @Test
  void tls_isUsed_andACertificateThatNobodyVouchesForIsRefused() {
    GreenMail server = started(ServerSetup.PROTOCOL_SMTPS);
    try {
      MailSettings settings = to(server.getSmtps().getPort(), Security.TLS, Optional.of("tench"));
      Delivery strict =
          new MailChannel(settings, "maren@sallowmere.example").deliver(Made.message());
      Delivery trusting =
          new MailChannel(
                  settings,
                  "maren@sallowmere.example",
                  with(
                      "mail.smtps.ssl.socketFactory.class",
                      DummySSLSocketFactory.class.getName(),
                      "mail.smtps.ssl.checkserveridentity",
                      "false"))
              .deliver(Made.message(Kind.TEST));

      assertThat(strict).isInstanceOf(Delivery.Failed.class);
      assertThat(trusting).isInstanceOf(Delivery.Accepted.class);
      assertThat(server.getReceivedMessages()).hasSize(1);
    } finally {
      server.stop();
    }
  }

  @Test
  void serverThatStalls_isGivenUpInTime() throws IOException {
    try (ServerSocket silent = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
      MailChannel channel =
          new MailChannel(
              to(silent.getLocalPort(), Security.NONE, Optional.empty()),
              "maren@sallowmere.example",
              with("mail.smtp.timeout", "300"));
      long start = System.nanoTime();

      Delivery.Failed failed = (Delivery.Failed) channel.deliver(Made.message());

      assertThat(Duration.ofNanos(System.nanoTime() - start)).isLessThan(Duration.ofSeconds(10));
      assertThat(failed.again()).isTrue();
      assertThat(failed.reason()).contains("127.0.0.1");
    }
  }

  @Test
  void nobodyListens_failsAndMayBeTriedAgain() throws IOException {
    int port;
    try (ServerSocket taken = new ServerSocket(0)) {
      port = taken.getLocalPort();
    }
    Delivery.Failed failed =
        (Delivery.Failed)
            new MailChannel(to(port, Security.NONE, Optional.empty()), "maren@sallowmere.example")
                .deliver(Made.message());

    assertThat(failed.again()).isTrue();
    assertThat(failed.reason()).endsWith(port + ": nothing answers there");
  }

  @Test
  void addressThatCannotBe_isRefusedAtOnce() {
    assertThatThrownBy(
            () -> new MailChannel(to(25, Security.NONE, Optional.empty()), "maren at sallowmere"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("maren at sallowmere");
  }
}
