// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.nio.file.Path;
import java.util.Optional;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;

/**
 * Secrets in files of their own, so that what names them can be shown to others.
 *
 * @param folder that their names are relative to
 */
record FileKeys(Path folder) implements WebhookKeys {

  /** What a file holds that the section names; empty where it names none, or none can be had. */
  Optional<String> secret(Section s, String key) {
    Optional<String> file = s.optionalText(key);
    if (file.isEmpty()) {
      return Optional.empty();
    }
    try {
      String secret = YamlFile.read(folder.resolve(file.get())).strip();
      if (secret.isEmpty()) {
        s.problem(key, "%s is empty".formatted(file.get()));
        return Optional.empty();
      }
      return Optional.of(secret);
    } catch (UnusableInputException e) {
      s.problem(key, e.problems().get(0).message() + ": " + file.get());
      return Optional.empty();
    }
  }

  @Override
  public Key key(Section webhook) {
    return new Key(secret(webhook, "secretFile"), webhook.optionalText("secretFile"));
  }

  @Override
  public Optional<String> objection(URI url) {
    return Optional.empty();
  }

  @Override
  public Optional<Way> kept(Section channel) {
    return Optional.empty();
  }
}
