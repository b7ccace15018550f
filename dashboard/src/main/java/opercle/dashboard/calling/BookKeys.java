// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.Optional;
import opercle.dashboard.calling.CallingSettings.Way;
import opercle.ingest.settings.Section;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.settings.YamlFile;

/**
 * The keys of webhooks as the farm book names their files. One that is gone makes its webhook
 * broken and keeps nobody from being watched: nobody looks at a form in which to put it right.
 */
record BookKeys(FileKeys files) implements WebhookKeys {

  @Override
  public Key key(Section webhook) {
    Optional<String> file = webhook.optionalText("secretFile");
    Optional<String> broken = file.flatMap(this::whyUnreadable);
    return broken.isPresent() ? new Key(Optional.empty(), file, broken) : files.key(webhook);
  }

  private Optional<String> whyUnreadable(String file) {
    try {
      return YamlFile.read(files.folder().resolve(file)).isBlank()
          ? Optional.of("its key file %s is empty: type its key anew".formatted(file))
          : Optional.empty();
    } catch (UnusableInputException e) {
      return Optional.of("its key file %s cannot be read: type its key anew".formatted(file));
    }
  }

  @Override
  public Optional<String> objection(URI url) {
    return files.objection(url);
  }

  @Override
  public Optional<Way> kept(Section channel) {
    return files.kept(channel);
  }
}
