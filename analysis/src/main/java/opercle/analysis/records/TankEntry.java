// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import opercle.analysis.stock.Fish;

/** What was done or measured at a tank, with its amount. All are immutable. */
public sealed interface TankEntry extends Entry {

  /** At which tank, and when. */
  Where where();

  /** The same in a few words, for whoever knows the tank: no capital, no full stop. */
  String deed();

  @Override
  default String title() {
    return where().title(deed());
  }

  @Override
  default List<Named> named() {
    return List.of(); // a tank is the farm's, not the records'
  }

  /**
   * A tank and a time.
   *
   * @param tank its id
   * @param name what it was called then; empty: nobody has said
   * @param time when it was done
   */
  record Where(String tank, Optional<String> name, Instant time) {

    public Where {
      tank = Limits.line("tank", tank);
      name = Limits.line("tankName", name);
    }

    private String title(String what) {
      return name.orElse(tank) + ": " + what;
    }
  }

  /**
   * Fish were fed.
   *
   * @param kg how much; empty: not weighed
   * @param proteinPercent as it stands on the bag, %
   */
  record Feed(Where where, OptionalDouble kg, OptionalDouble proteinPercent, Optional<String> note)
      implements TankEntry {

    public Feed {
      kg = Limits.above0("kg", kg, 10_000.0, "kg");
      proteinPercent = Limits.within("proteinPercent", proteinPercent, 1.0, 90.0, "%");
      note = Limits.note("note", note);
    }

    @Override
    public Kind kind() {
      return Kind.FEED;
    }

    @Override
    public String deed() {
      return "fed" + (kg.isPresent() ? " " + amount(kg.getAsDouble(), "kg") : "");
    }
  }

  /**
   * Water was let out and as much fresh water let in.
   *
   * @param litres how much, L
   */
  record WaterChange(Where where, double litres, Optional<String> note) implements TankEntry {

    public WaterChange {
      litres = Limits.above0("litres", OptionalDouble.of(litres), 10_000_000.0, "L").getAsDouble();
      note = Limits.note("note", note);
    }

    @Override
    public Kind kind() {
      return Kind.WATER_CHANGE;
    }

    @Override
    public String deed() {
      return "changed " + amount(litres, "L") + " of water";
    }
  }

  /**
   * Common salt was put in.
   *
   * @param kg how much, kg
   * @param reason what for
   */
  record Salt(Where where, double kg, Optional<String> reason) implements TankEntry {

    public Salt {
      kg = Limits.above0("kg", OptionalDouble.of(kg), 100_000.0, "kg").getAsDouble();
      reason = Limits.line("reason", reason);
    }

    @Override
    public Kind kind() {
      return Kind.SALT;
    }

    @Override
    public String deed() {
      return amount(kg, "kg") + " of salt";
    }
  }

  /**
   * Water was filled up that had gone; it is taken to hold no salt by itself.
   *
   * @param litres how much, L
   * @param lost where the old went: what evaporated left its salt behind
   * @param saltKg salt that was put in with it, kg
   */
  record TopUp(Where where, double litres, Lost lost, OptionalDouble saltKg, Optional<String> note)
      implements TankEntry {

    public TopUp {
      litres = Limits.above0("litres", OptionalDouble.of(litres), 10_000_000.0, "L").getAsDouble();
      saltKg = Limits.above0("saltKg", saltKg, 100_000.0, "kg");
      note = Limits.note("note", note);
    }

    /** Where the water went that is filled up. */
    public enum Lost {
      EVAPORATED("evaporated"),
      /** Splashed, leaked, or taken along by nets and fish. */
      RAN_OUT("ran-out");

      private final String id;

      Lost(String id) {
        this.id = id;
      }

      /** The word. */
      public String id() {
        return id;
      }

      /** By its word. */
      public static Optional<Lost> of(String id) {
        return Stream.of(values()).filter(lost -> lost.id.equals(id)).findFirst();
      }
    }

    @Override
    public Kind kind() {
      return Kind.TOP_UP;
    }

    @Override
    public String deed() {
      return "topped up "
          + amount(litres, "L")
          + (lost == Lost.EVAPORATED ? " that evaporated" : " that ran out")
          + (saltKg.isPresent() ? ", with " + amount(saltKg.getAsDouble(), "kg") + " of salt" : "");
    }
  }

  /**
   * The water was measured by hand; what was not measured is empty.
   *
   * @param tanMgPerL total ammonia as nitrogen, mg/L
   * @param ph as measured
   * @param carbonDioxideMgPerL free carbon dioxide, mg/L
   * @param salinityGPerKg salt, g/kg
   * @param alkalinityMgPerL total alkalinity, mg/L as CaCO₃
   * @param temperatureC water, °C
   */
  record WaterTest(
      Where where,
      OptionalDouble tanMgPerL,
      OptionalDouble ph,
      OptionalDouble carbonDioxideMgPerL,
      OptionalDouble salinityGPerKg,
      OptionalDouble alkalinityMgPerL,
      OptionalDouble temperatureC,
      Optional<String> note)
      implements TankEntry {

    public WaterTest {
      tanMgPerL = Limits.within("tanMgPerL", tanMgPerL, 0.0, 200.0, "mg/L");
      ph = Limits.within("ph", ph, 4.0, 11.0, "");
      carbonDioxideMgPerL =
          Limits.within("carbonDioxideMgPerL", carbonDioxideMgPerL, 0.0, 500.0, "mg/L");
      salinityGPerKg = Limits.within("salinityGPerKg", salinityGPerKg, 0.0, 40.0, "g/kg");
      alkalinityMgPerL = Limits.within("alkalinityMgPerL", alkalinityMgPerL, 0.0, 1000.0, "mg/L");
      temperatureC = Limits.within("temperatureC", temperatureC, 0.0, 40.0, "°C");
      note = Limits.note("note", note);
      if (Stream.of(
              tanMgPerL, ph, carbonDioxideMgPerL, salinityGPerKg, alkalinityMgPerL, temperatureC)
          .noneMatch(OptionalDouble::isPresent)) {
        throw new WrongFieldException("tanMgPerL", "at least one of the values must be measured");
      }
    }

    @Override
    public Kind kind() {
      return Kind.WATER_TEST;
    }

    @Override
    public String deed() {
      StringBuilder said = new StringBuilder("tested");
      add(said, "ammonia", tanMgPerL, "mg/L as nitrogen");
      add(said, "pH", ph, "");
      add(said, "carbon dioxide", carbonDioxideMgPerL, "mg/L");
      add(said, "salt", salinityGPerKg, "g/kg");
      add(said, "alkalinity", alkalinityMgPerL, "mg/L");
      add(said, "water", temperatureC, "°C");
      return said.toString();
    }

    private static void add(StringBuilder said, String what, OptionalDouble value, String unit) {
      value.ifPresent(
          v ->
              said.append(said.length() == "tested".length() ? ": " : ", ")
                  .append(what)
                  .append(' ')
                  .append(amount(v, unit)));
    }
  }

  /**
   * Fish were given a medicine or a bath. The withdrawal period is the vet's to say; it is kept
   * here word for word and never worked out.
   *
   * @param what the medicine
   * @param amount as it was given
   * @param reason what for
   * @param withdrawal what the vet said about it
   * @param until the last day of the withdrawal period, as the vet said
   */
  record Treatment(
      Where where,
      String what,
      String amount,
      String reason,
      Optional<String> withdrawal,
      Optional<LocalDate> until,
      Optional<String> note)
      implements TankEntry {

    public Treatment {
      what = Limits.line("what", what);
      amount = Limits.line("amount", amount);
      reason = Limits.line("reason", reason);
      withdrawal = Limits.note("withdrawal", withdrawal);
      note = Limits.note("note", note);
    }

    /** Whether the vet's period has not ended on a day; its last day still counts. */
    public boolean runsOn(LocalDate day) {
      return until.isPresent() && !until.get().isBefore(day);
    }

    @Override
    public Kind kind() {
      return Kind.TREATMENT;
    }

    @Override
    public String deed() {
      return what + ", " + amount;
    }
  }

  /**
   * Somebody looked in, with a hand meter or without. The meter's limits are those of a check at a
   * stop of a trip.
   *
   * @param fish how they were
   * @param oxygenMgPerL by a hand meter, mg/L
   * @param temperatureC by a hand meter, °C
   */
  record HandCheck(
      Where where,
      Fish fish,
      OptionalDouble oxygenMgPerL,
      OptionalDouble temperatureC,
      Optional<String> note)
      implements TankEntry {

    public HandCheck {
      oxygenMgPerL = Limits.within("oxygenMgPerL", oxygenMgPerL, 0.0, 60.0, "mg/L");
      temperatureC = Limits.within("temperatureC", temperatureC, -2.0, 45.0, "°C");
      note = Limits.note("note", note);
    }

    @Override
    public Kind kind() {
      return Kind.HAND_CHECK;
    }

    @Override
    public String deed() {
      StringBuilder said = new StringBuilder("fish ").append(fish.words());
      oxygenMgPerL.ifPresent(v -> said.append(", oxygen ").append(amount(v, "mg/L")));
      temperatureC.ifPresent(v -> said.append(", water ").append(amount(v, "°C")));
      return said.toString();
    }
  }

  /**
   * Fish went into another tank of the farm, and what they were given goes with them.
   *
   * @param to the id of the other tank
   * @param toName what it was called then
   * @param species which fish, where that was said
   * @param kg how much, kg
   */
  record Moved(
      Where where,
      String to,
      Optional<String> toName,
      Optional<String> species,
      OptionalDouble kg,
      Optional<String> note)
      implements TankEntry {

    public Moved {
      to = Limits.line("to", to);
      toName = Limits.line("toName", toName);
      species = Limits.line("species", species);
      kg = Limits.above0("kg", kg, 100_000.0, "kg");
      note = Limits.note("note", note);
      if (to.equals(where.tank())) {
        throw new WrongFieldException(
            "to", "must be another tank but was '%s'".formatted(to), "must be another tank");
      }
    }

    @Override
    public Kind kind() {
      return Kind.MOVED;
    }

    @Override
    public String deed() {
      String fish =
          (kg.isPresent() ? amount(kg.getAsDouble(), "kg") + " of " : "") + species.orElse("fish");
      return "%s moved to %s".formatted(fish, toName.orElse(to));
    }
  }

  /** The tank was cleaned: bottom, screens, filter. */
  record Cleaning(Where where, Optional<String> note) implements TankEntry {

    public Cleaning {
      note = Limits.note("note", note);
    }

    @Override
    public Kind kind() {
      return Kind.CLEANING;
    }

    @Override
    public String deed() {
      return "cleaned";
    }
  }

  private static String amount(double value, String unit) {
    String number =
        value == Math.rint(value)
            ? Long.toString((long) value)
            : String.format(Locale.ROOT, "%.4g", value);
    String plain =
        number.contains(".") ? number.replaceAll("0+$", "").replaceAll("\\.$", "") : number;
    return unit.isEmpty() ? plain : plain + " " + unit;
  }
}
