// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.calling.Hours;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;

/**
 * Reads {@code people}, as they stand in the configuration, in the farm book, or in what a page
 * sends. What is wrong is noted in the section; go by the result only if nothing was.
 */
final class PeopleReader {

  private static final int LONGEST_NAME = 60;

  private final Optional<MailSettings> mail;
  private final WebhookKeys keys;

  /**
   * A reader.
   *
   * @param mail the mail server, where there is one
   * @param keys where what signs a webhook's messages is found
   */
  PeopleReader(Optional<MailSettings> mail, WebhookKeys keys) {
    this.mail = mail;
    this.keys = keys;
  }

  /** The people below that section, without those who cannot be read. */
  List<Called> read(Section top) {
    List<Called> people = new ArrayList<>();
    Set<String> names = new HashSet<>();
    for (Section s : top.sections("people")) {
      person(s)
          .ifPresent(
              p -> {
                if (!names.add(p.name().toLowerCase(Locale.ROOT))) {
                  s.problem("name", "\"%s\" is there twice".formatted(p.name()));
                }
                people.add(p);
              });
    }
    return people;
  }

  private Optional<Called> person(Section s) {
    String name = s.text("name");
    if (name.length() > LONGEST_NAME || name.codePoints().anyMatch(Character::isISOControl)) {
      s.problem("name", "must be one line of at most %d letters".formatted(LONGEST_NAME));
      name = "";
    }
    Optional<Hours> onCall = s.optionalSection("hours").map(CallingSettingsReader::hours);
    List<Way> ways = new ArrayList<>();
    List<Section> channels = s.sectionsOrWords("channels");
    for (Section c : channels) {
      way(c).ifPresent(ways::add);
      c.finish();
    }
    if (channels.isEmpty()) {
      s.problem("channels", "needs one way at least to reach them: mail, webhook or push");
    }
    s.finish();
    return name.isBlank() || ways.isEmpty()
        ? Optional.empty() // said already
        : Optional.of(new Called(name, onCall, ways));
  }

  private Optional<Way> way(Section c) {
    boolean hasMail = c.has("mail");
    boolean hasWebhook = c.has("webhook");
    boolean hasPush = c.has("push");
    if (hasMail) {
      return mailWay(c);
    }
    if (hasWebhook) {
      return c.optionalSection("webhook").flatMap(this::webhook);
    }
    if (hasPush) {
      return Optional.of(new Way.Push());
    }
    return keys.kept(c); // where nothing is, finish tells the unknown key
  }

  private Optional<Way> mailWay(Section c) {
    String addresses = c.text("mail");
    if (mail.isEmpty()) {
      c.problem("mail", "needs a mail server: the section mail of opercle.yaml");
      return Optional.empty();
    }
    try {
      var unused = MailChannel.addresses(addresses);
    } catch (IllegalArgumentException e) {
      c.problem(
          "mail", "\"%s\" is no mail address, such as maren@example.org".formatted(addresses));
      return Optional.empty();
    }
    return mail.map(server -> new Way.Mail(server, addresses));
  }

  private Optional<Way> webhook(Section s) {
    String text = s.text("url");
    WebhookKeys.Key key = keys.key(s);
    Map<String, WebhookSettings.Format> formats = new LinkedHashMap<>();
    formats.put("json", WebhookSettings.Format.JSON);
    formats.put("cap", WebhookSettings.Format.CAP);
    WebhookSettings.Format format =
        s.has("format") ? s.choice("format", formats) : WebhookSettings.Format.JSON;
    s.finish();
    Optional<URI> url = CallingSettingsReader.url(s, "url", text);
    url.flatMap(keys::objection).ifPresent(why -> s.problem("url", why));
    return url.map(
        u ->
            new Way.Webhook(
                new WebhookSettings(u, key.secret(), format), key.secretFile(), key.broken()));
  }
}
