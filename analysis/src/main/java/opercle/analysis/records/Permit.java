// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * A consent, a registration or an authorisation on paper.
 *
 * @param type which
 * @param reference the number on the document
 * @param water the {@link Water} that it is for
 * @param party the {@link Party} that it is for; both empty: the farm
 * @param from its first day
 * @param until its last day; empty: the document names none
 * @param seen when somebody last looked at the document
 * @param note anything else, for instance its conditions
 */
public record Permit(
    Type type,
    String reference,
    Optional<String> water,
    Optional<String> party,
    Optional<LocalDate> from,
    Optional<LocalDate> until,
    Optional<LocalDate> seen,
    Optional<String> note)
    implements Entry {

  /** What it is a permit for. */
  public enum Type {
    FARM_AUTHORISATION("farm-authorisation", "farm authorisation"),
    FISHERY_REGISTRATION("fishery-registration", "fishery registration"),
    SITE_PERMIT("site-permit", "site permit"),
    SUPPLIER_PERMIT("supplier-permit", "supplier permit"),
    TRANSPORTER_AUTHORISATION("transporter-authorisation", "transporter authorisation"),
    NETTING_AUTHORISATION("netting-authorisation", "netting authorisation"),
    SPECIES_LICENCE("species-licence", "species licence"),
    OTHER("other", "paper");

    private final String id;
    private final String words;

    Type(String id, String words) {
      this.id = id;
      this.words = words;
    }

    /** The word for it in the book and the interface. */
    public String id() {
      return id;
    }

    /** The words for it in a sentence. */
    public String words() {
      return words;
    }

    static Optional<Type> of(String id) {
      return Stream.of(values()).filter(t -> t.id.equals(id)).findFirst();
    }
  }

  public Permit {
    reference = Limits.line("reference", reference);
    note = Limits.note("note", note);
    if (from.isPresent() && until.isPresent() && until.get().isBefore(from.get())) {
      throw new WrongFieldException(
          "until",
          "%s is before from: %s".formatted(until.get(), from.get()),
          "%s is before the first day, %s".formatted(until.get(), from.get()));
    }
  }

  @Override
  public Kind kind() {
    return Kind.PERMIT;
  }

  @Override
  public List<Named> named() {
    List<Named> named = new ArrayList<>();
    water.ifPresent(id -> named.add(new Named("water", Kind.WATER, id)));
    party.ifPresent(id -> named.add(new Named("party", Kind.PARTY, id)));
    return List.copyOf(named);
  }

  @Override
  public String title() {
    return type.words() + " " + reference;
  }
}
