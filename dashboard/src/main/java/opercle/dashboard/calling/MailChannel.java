// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import jakarta.mail.Address;
import jakarta.mail.AuthenticationFailedException;
import jakarta.mail.MessagingException;
import jakarta.mail.SendFailedException;
import jakarta.mail.Session;
import jakarta.mail.Transport;
import jakarta.mail.internet.AddressException;
import jakarta.mail.internet.InternetAddress;
import jakarta.mail.internet.MimeMessage;
import java.net.ConnectException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Date;
import java.util.Properties;
import java.util.stream.Collectors;
import javax.net.ssl.SSLException;
import opercle.analysis.calling.Delivery;
import opercle.ingest.settings.TlsWords;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Mail over SMTP (RFC 5321). A call keeps its Message-ID however often it is sent, so that a mail
 * reader can tell that it is the same. For any thread; each delivery has a connection of its own.
 */
public final class MailChannel implements Channel {

  private static final Logger log = LoggerFactory.getLogger(MailChannel.class);
  private static final int DEEPEST = 10;
  private static final int TIMEOUT_MS = 8_000;

  private final MailSettings settings;
  private final InternetAddress[] to;
  private final Session session;

  /**
   * A channel to these addresses.
   *
   * @param addresses with commas between
   * @throws IllegalArgumentException if one cannot be an address
   */
  public MailChannel(MailSettings settings, String addresses) {
    this(settings, addresses, new Properties());
  }

  MailChannel(MailSettings settings, String addresses, Properties more) {
    this.settings = settings;
    this.to = addresses(addresses);
    Properties properties = properties(settings);
    properties.putAll(more);
    this.session = Session.getInstance(properties);
  }

  /** Reads addresses with commas between. */
  static InternetAddress[] addresses(String text) {
    try {
      InternetAddress[] addresses = InternetAddress.parse(text, true);
      for (InternetAddress address : addresses) {
        address.validate();
      }
      if (addresses.length == 0) {
        throw new IllegalArgumentException("\"%s\" holds no mail address".formatted(text));
      }
      return addresses;
    } catch (AddressException e) {
      throw new IllegalArgumentException(
          "\"%s\" is no mail address: %s".formatted(text, e.getMessage()), e);
    }
  }

  private static Properties properties(MailSettings settings) {
    String protocol = protocol(settings);
    Properties p = new Properties();
    p.put("mail.transport.protocol", protocol);
    String prefix = "mail." + protocol + ".";
    p.put(prefix + "host", settings.host());
    p.put(prefix + "port", Integer.toString(settings.port()));
    p.put(prefix + "connectiontimeout", Integer.toString(TIMEOUT_MS));
    p.put(prefix + "timeout", Integer.toString(TIMEOUT_MS));
    p.put(prefix + "writetimeout", Integer.toString(TIMEOUT_MS));
    p.put(prefix + "auth", Boolean.toString(settings.user().isPresent()));
    p.put(prefix + "sendpartial", "true");
    p.put(prefix + "quitwait", "false");
    p.put(prefix + "ssl.checkserveridentity", "true");
    if (settings.security() == MailSettings.Security.STARTTLS) {
      p.put(prefix + "starttls.enable", "true");
      p.put(prefix + "starttls.required", "true");
    }
    return p;
  }

  private static String protocol(MailSettings settings) {
    return settings.security() == MailSettings.Security.TLS ? "smtps" : "smtp";
  }

  @Override
  public Delivery deliver(Message message) {
    try {
      Transport transport = session.getTransport(protocol(settings));
      try {
        transport.connect(settings.user().orElse(null), settings.password().orElse(null));
        transport.sendMessage(mail(message), to);
      } finally {
        sayGoodbye(transport);
      }
      return new Delivery.Accepted("the mail server has it, for %s".formatted(written(to)));
    } catch (AuthenticationFailedException e) {
      return Delivery.refused(
          "the mail server %s refuses the log-in of %s"
              .formatted(settings.host(), settings.user().orElse("nobody")));
    } catch (SendFailedException e) {
      return notAllTaken(e);
    } catch (MessagingException e) {
      return Delivery.failed(
          "the mail server %s:%d: %s".formatted(settings.host(), settings.port(), why(e)));
    }
  }

  /** The server has the mail, or has refused it: how it takes the goodbye changes nothing. */
  private static void sayGoodbye(Transport transport) {
    try {
      transport.close();
    } catch (MessagingException e) {
      log.debug("a mail server did not take the goodbye", e);
    }
  }

  private static Delivery notAllTaken(SendFailedException e) {
    if (e.getValidSentAddresses() != null && e.getValidSentAddresses().length > 0) {
      return new Delivery.Accepted(
          "the mail server has it, for %s alone".formatted(written(e.getValidSentAddresses())));
    }
    if (e.getInvalidAddresses() != null && e.getInvalidAddresses().length > 0) {
      return Delivery.refused(
          "the mail server does not know %s".formatted(written(e.getInvalidAddresses())));
    }
    return Delivery.failed("the mail server does not take it: " + why(e));
  }

  private static String written(Address[] addresses) {
    return Arrays.stream(addresses).map(Address::toString).collect(Collectors.joining(", "));
  }

  /** For a person; what the library said is for the log. */
  private static String why(Exception e) {
    log.warn("a mail was not taken", e);
    @Nullable Throwable reason = e;
    for (int i = 0; reason != null && i < DEEPEST; i++) {
      if (reason instanceof SSLException) {
        return TlsWords.why(reason);
      }
      if (reason instanceof UnknownHostException) {
        return "there is no host of that name";
      }
      if (reason instanceof ConnectException) {
        return "nothing answers there";
      }
      if (reason instanceof SocketTimeoutException) {
        return "it does not answer in time";
      }
      reason = reason.getCause();
    }
    return "it gives no proper answer; the log says more";
  }

  private MimeMessage mail(Message message) throws MessagingException {
    MimeMessage mail = new KeyedMail(session, message.call().key());
    mail.setFrom(new InternetAddress(settings.from()));
    mail.setRecipients(MimeMessage.RecipientType.TO, to);
    mail.setSubject(message.subject(), StandardCharsets.UTF_8.name());
    mail.setSentDate(Date.from(message.call().made()));
    if (message.call().isUrgent()) {
      mail.setHeader("Importance", "high"); // RFC 4021
    }
    mail.setHeader("Auto-Submitted", "auto-generated"); // RFC 3834: no out-of-office replies
    mail.setText(text(message), StandardCharsets.UTF_8.name());
    mail.saveChanges();
    return mail;
  }

  private static String text(Message message) {
    if (message.call().driving()) {
      return message.spoken() + "\n";
    }
    String have =
        message
            .link()
            .map(link -> "\n\nSay that you have it, so that nobody else is called:\n" + link)
            .orElse("");
    return message.body() + have + "\n\n-- \n" + message.farm() + "\n";
  }

  private static final class KeyedMail extends MimeMessage {
    private final String key;

    KeyedMail(Session session, String key) {
      super(session);
      this.key = key;
    }

    @Override
    protected void updateMessageID() throws MessagingException {
      setHeader("Message-ID", "<" + key + "@opercle.invalid>");
    }
  }
}
