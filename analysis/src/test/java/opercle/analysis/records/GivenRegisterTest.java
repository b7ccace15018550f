// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.records.Recorded.Correction;
import org.junit.jupiter.api.Test;

class GivenRegisterTest {

  private static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");
  private static final Instant NEW_YEAR = Instant.parse("2025-12-31T23:30:00Z");

  private static TankEntry.Where at(Instant time) {
    return new TankEntry.Where("h2", Optional.of("Holding 2"), time);
  }

  private static Recorded recorded(long number, Optional<Correction> correction, TankEntry entry) {
    return new Recorded(
        "entry-%04d".formatted(number),
        number,
        NEW_YEAR.plusSeconds(60),
        "Tove",
        correction,
        entry);
  }

  private static TankEntry.Salt salt(double kg) {
    return new TankEntry.Salt(at(NEW_YEAR), kg, Optional.of("scratches, \"long\" ones"));
  }

  @Test
  void medicinesAndSalt_areThere_everyVersionOfThem_andNothingElse() {
    Records records =
        Records.of(
            List.of(
                recorded(1, Optional.empty(), salt(3.0)),
                recorded(
                    2,
                    Optional.of(new Correction("entry-0001", "Weighed again.", false)),
                    salt(2.5)),
                recorded(
                    3,
                    Optional.empty(),
                    new TankEntry.Treatment(
                        at(NEW_YEAR.plusSeconds(3600)),
                        "Bath",
                        "20 mL in 1000 L",
                        "gills",
                        Optional.of("Ten days, says the vet."),
                        Optional.of(LocalDate.of(2026, 1, 11)),
                        Optional.empty())),
                recorded(
                    4, Optional.empty(), new TankEntry.Cleaning(at(NEW_YEAR), Optional.empty())),
                recorded(
                    5,
                    Optional.empty(),
                    new TankEntry.TopUp(
                        at(NEW_YEAR),
                        100.0,
                        TankEntry.TopUp.Lost.RAN_OUT,
                        OptionalDouble.of(0.5),
                        Optional.empty()))));

    String csv = GivenRegister.csv(GivenRegister.rows(records, Year.of(2026), BERLIN));

    assertThat(csv.split("\r\n"))
        .containsExactly(
            "time_utc,time_local,tank,what,amount,reason,withdrawal,withdrawal_until,note,stands,"
                + "recorded_utc,recorded_by,why_corrected,entry,corrects",
            "2025-12-31T23:30:00Z,2026-01-01 00:30,Holding 2,salt,3.0 kg,\"scratches, \"\"long\"\""
                + " ones\",,,,corrected,2025-12-31T23:31:00Z,Tove,,entry-0001,",
            "2025-12-31T23:30:00Z,2026-01-01 00:30,Holding 2,salt,2.5 kg,\"scratches, \"\"long\"\""
                + " ones\",,,,yes,2025-12-31T23:31:00Z,Tove,Weighed again.,entry-0002,entry-0001",
            "2025-12-31T23:30:00Z,2026-01-01 00:30,Holding 2,salt,0.5 kg,with a top-up,,,,yes,"
                + "2025-12-31T23:31:00Z,Tove,,entry-0005,",
            "2026-01-01T00:30:00Z,2026-01-01 01:30,Holding 2,Bath,20 mL in 1000 L,gills,"
                + "\"Ten days, says the vet.\",2026-01-11,,yes,2025-12-31T23:31:00Z,Tove,,entry-0003,");
    assertThat(GivenRegister.rows(records, Year.of(2025), BERLIN)).isEmpty();
  }
}
