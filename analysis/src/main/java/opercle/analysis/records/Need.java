// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.util.Locale;

/**
 * What a movement's papers are asked for, and where that is written. The lines are reminders of
 * where to look, not advice; the person's own permits count before them.
 */
public enum Need {
  ORIGIN(
      "SI 2009/463, regs 5 and 12; Directive 2006/88/EC, Art. 8: origin and destination traceable",
      "R; reg. 12: R, explanatory note"),
  DESTINATION(
      "SI 2009/463, regs 5 and 12; Directive 2006/88/EC, Art. 8: origin and destination traceable",
      "R; reg. 12: R, explanatory note"),
  SITE_PERMIT("SI 2015/10 (England), regs 4 and 6; SI 2014/3303 (Wales)", "R"),
  SUPPLIER_PERMIT(
      "Environment Agency guidance under SI 2015/10: to supply or move to fisheries", "R"),
  HEALTH_CHECK(
      "GOV.UK \"Fish health checks\" (England): waters with inlet or outlet, or where it floods; 12 months"
          + " for farmed trout and salmon, 6 for all others",
      "R"),
  MIXED_AFTER_SAMPLE(
      "GOV.UK \"Fish health checks\": the sample must stand for the fish that move; that mixing breaks"
          + " the link is our inference",
      "R, inference"),
  TRANSPORTER("Reg. (EC) 1/2005, Arts 6, 10, 11: transporter authorisation beyond 65 km", "R2"),
  CONSIGNMENT_NOTE(
      "Permit holders carry consignment notes: NRW; England by an announcement of 2015", "R, R2"),
  ADVANCE_NOTICE(
      "NRW: at least 2 working days; England's present rule was not found, the permit says",
      "R, ?"),
  DISINFECTION("SI 2009/463, regs 19–21: cleaned and disinfected before dispatch", "R, note"),
  NUMBER_AND_WEIGHT("NRW's consignment note: species with number and weight", "R"),
  WITHDRAWAL(
      "What the vet said, as it was written down; the vet and the data sheet decide", "the vet's"),
  OTHER_PAPER("The document itself", "the keeper's own");

  /** When these lines were written, from stored copies that may not have been the newest. */
  public static final LocalDate CHECKED_ON = LocalDate.of(2026, 11, 25);

  private final String source;
  private final String mark;

  Need(String source, String mark) {
    this.source = source;
    this.mark = mark;
  }

  /** The word for it. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The law or the guidance. */
  public String source() {
    return source;
  }

  /**
   * How sure the line is: R read in a stored copy, possibly not the newest; R2 read in a secondary
   * account; ? looked for and not found.
   */
  public String mark() {
    return mark;
  }
}
