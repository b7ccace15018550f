// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.List;
import java.util.Optional;

/**
 * Somebody whom fish come from, go to, or travel with.
 *
 * @param name of the business or the person
 * @param contact how to reach them; personal data, kept as long as the records
 * @param note anything else
 */
public record Party(String name, Optional<String> contact, Optional<String> note) implements Entry {

  public Party {
    name = Limits.line("name", name);
    contact = Limits.line("contact", contact);
    note = Limits.note("note", note);
  }

  @Override
  public Kind kind() {
    return Kind.PARTY;
  }

  @Override
  public List<Named> named() {
    return List.of();
  }

  @Override
  public String title() {
    return name;
  }
}
