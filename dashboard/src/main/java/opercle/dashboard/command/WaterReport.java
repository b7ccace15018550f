// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.StringWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import opercle.analysis.water.CarbonDioxide;
import opercle.analysis.water.Emerson1975;
import opercle.analysis.water.OxygenSaturation;
import opercle.analysis.water.TotalGasPressure;
import opercle.analysis.water.WaterConditions;
import opercle.analysis.water.WaterProperties;
import opercle.analysis.water.WaterProperties.AmmoniaShare;
import org.jspecify.annotations.Nullable;

/**
 * What is known of one water, as text and as JSON: both are written from one list, so that neither
 * tells more than the other. One thread only.
 */
final class WaterReport {

  /**
   * One number.
   *
   * @param key in JSON, with its unit
   * @param label for people
   * @param decimals that are worth printing
   * @param source whose formula; empty for what was given
   */
  private record Quantity(
      String key, String label, double value, int decimals, String unit, String source) {

    String number() {
      return String.format(Locale.ROOT, "%." + decimals + "f", value);
    }

    String line() {
      String from = source.isEmpty() ? "" : "(" + source + ")";
      return String.format(Locale.ROOT, "  %-31s %9s %-7s %s", label, number(), unit, from)
          .stripTrailing();
    }
  }

  private static final double NITROGEN_AS_IN_AIR = 1.0;

  private final WaterProperties water;
  private final List<Quantity> known = new ArrayList<>();
  private final List<Quantity> measured = new ArrayList<>();

  /**
   * What follows from temperature, salt and air pressure alone.
   *
   * @throws IllegalArgumentException naming formula, value and range, if one is outside
   */
  WaterReport(WaterConditions conditions) {
    water = WaterProperties.of(conditions);
    String first = "Benson & Krause 1984";
    String second = "Garcia & Gordon 1992";
    known.add(
        new Quantity(
            "saturationMgPerL",
            "oxygen at 100 % saturation",
            water.saturationMgPerL(),
            3,
            "mg/L",
            first));
    known.add(
        new Quantity(
            "secondOpinionMgPerL",
            "  second opinion",
            water.secondOpinionMgPerL(),
            3,
            "mg/L",
            second));
    known.add(
        new Quantity(
            "secondOpinionUmolPerKg",
            "  second opinion, by mass",
            water.secondOpinionUmolPerKg(),
            2,
            "µmol/kg",
            second));
    known.add(
        new Quantity(
            "pureOxygenMgPerL",
            "oxygen under pure oxygen",
            water.pureOxygenMgPerL(),
            2,
            "mg/L",
            "Henry's law"));
    known.add(
        new Quantity(
            "oxygenTensionKPa",
            "oxygen tension at saturation",
            water.oxygenTensionKPa(),
            3,
            "kPa",
            "Henry's law"));
    known.add(
        new Quantity(
            "vapourPressureKPa",
            "water vapour",
            water.vapourPressureKPa(),
            4,
            "kPa",
            "Benson & Krause 1980"));
    known.add(
        new Quantity(
            "carbonDioxideMgPerMgOxygen",
            "carbon dioxide per oxygen used",
            CarbonDioxide.respiredMg(1.0, CarbonDioxide.USUAL_RESPIRATORY_QUOTIENT),
            3,
            "mg/mg",
            "0.85 mol for one"));
  }

  /**
   * What an oxygen reading says.
   *
   * @param freeCarbonDioxideMgPerL counts in the total gas pressure, where it is known
   */
  void addOxygen(double oxygenMgPerL, @Nullable Double freeCarbonDioxideMgPerL) {
    WaterConditions conditions = water.conditions();
    OxygenSaturation oxygen = new OxygenSaturation();
    TotalGasPressure gas =
        TotalGasPressure.inTank(
            conditions,
            oxygenMgPerL,
            NITROGEN_AS_IN_AIR,
            freeCarbonDioxideMgPerL == null ? 0.0 : freeCarbonDioxideMgPerL);
    String definition = "CCME 1999, N2 as in air";
    measured.add(new Quantity("oxygenMgPerL", "oxygen", oxygenMgPerL, 3, "mg/L", ""));
    measured.add(
        new Quantity(
            "oxygenPercent",
            "  of local saturation",
            oxygen.percent(oxygenMgPerL, conditions),
            1,
            "%",
            "Henry's law"));
    measured.add(
        new Quantity(
            "oxygenTensionKPa",
            "  its tension",
            oxygen.tensionKPa(oxygenMgPerL, conditions),
            3,
            "kPa",
            "Henry's law"));
    measured.add(
        new Quantity(
            "totalGasPressureKPa", "total gas pressure", gas.totalKPa(), 2, "kPa", definition));
    measured.add(
        new Quantity(
            "totalGasPressurePercent",
            "  of the air's pressure",
            gas.percent(),
            1,
            "%",
            definition));
    measured.add(
        new Quantity("deltaPKPa", "  above the air", gas.deltaPKPa(), 2, "kPa", definition));
    measured.add(
        new Quantity("deltaPMmHg", "  the same", gas.deltaPMmHg(), 0, "mm Hg", definition));
  }

  /**
   * What a pH says of ammonia.
   *
   * @param tanMgPerL total ammonia as nitrogen, mg/L, where it was measured
   */
  void addAmmonia(double pH, @Nullable Double tanMgPerL) {
    String source = "Emerson et al. 1975";
    double t = water.conditions().temperatureC();
    double s = water.conditions().salinityGPerKg();
    measured.add(new Quantity("pH", "pH", pH, 2, "", ""));
    measured.add(
        new Quantity(
            "unionisedAmmoniaPercent",
            "  un-ionised share of ammonia",
            100.0 * Emerson1975.fraction(pH, t, s),
            3,
            "%",
            source));
    if (tanMgPerL != null) {
      measured.add(
          new Quantity("tanMgPerL", "total ammonia, as nitrogen", tanMgPerL, 2, "mg/L", ""));
      measured.add(
          new Quantity(
              "unionisedAmmoniaMgPerL",
              "  un-ionised, as NH3",
              Emerson1975.ammoniaMgPerL(tanMgPerL, pH, t, s),
              4,
              "mg/L",
              source));
    }
  }

  /** What pH and alkalinity say of carbon dioxide, mg/L, which is returned. */
  double addCarbonDioxide(double pH, double alkalinityMgPerL) {
    double free =
        CarbonDioxide.freeMgPerL(
            pH,
            alkalinityMgPerL,
            water.conditions().temperatureC(),
            water.conditions().salinityGPerKg());
    measured.add(
        new Quantity("alkalinityMgPerL", "alkalinity, as CaCO3", alkalinityMgPerL, 1, "mg/L", ""));
    measured.add(
        new Quantity(
            "freeCarbonDioxideMgPerL",
            "  free carbon dioxide",
            free,
            2,
            "mg/L",
            "Plummer & Busenberg 1982"));
    return free;
  }

  String asText() {
    WaterConditions c = water.conditions();
    List<String> lines = new ArrayList<>();
    lines.add(
        String.format(
            Locale.ROOT,
            "Water at %s °C, %s g/kg salt, air pressure %.2f kPa",
            plain(c.temperatureC()),
            plain(c.salinityGPerKg()),
            c.pressureKPa()));
    lines.add("");
    known.forEach(q -> lines.add(q.line()));
    lines.add("");
    if (!measured.isEmpty()) {
      lines.add("As measured");
      measured.forEach(q -> lines.add(q.line()));
      lines.add("");
    }
    lines.add("Un-ionised share of ammonia (Emerson et al. 1975)");
    for (AmmoniaShare share : water.ammonia()) {
      lines.add(
          String.format(
              Locale.ROOT,
              "  at pH %.1f                       %9.3f %%",
              share.pH(),
              share.fraction() * 100));
    }
    return String.join(System.lineSeparator(), lines);
  }

  String asJson() throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator g =
        new ObjectMapper().getFactory().createGenerator(text).useDefaultPrettyPrinter()) {
      g.writeStartObject();
      g.writeNumberField("temperatureC", water.conditions().temperatureC());
      g.writeNumberField("salinityGPerKg", water.conditions().salinityGPerKg());
      g.writeFieldName("pressureKPa");
      g.writeNumber(String.format(Locale.ROOT, "%.3f", water.conditions().pressureKPa()));
      write(g, known);
      g.writeArrayFieldStart("unionisedAmmonia");
      for (AmmoniaShare share : water.ammonia()) {
        g.writeStartObject();
        g.writeNumberField("pH", share.pH());
        g.writeFieldName("fraction");
        g.writeNumber(String.format(Locale.ROOT, "%.6f", share.fraction()));
        g.writeEndObject();
      }
      g.writeEndArray();
      if (!measured.isEmpty()) {
        g.writeObjectFieldStart("measured");
        write(g, measured);
        g.writeEndObject();
      }
      g.writeObjectFieldStart("sources");
      writeSources(g, known);
      g.writeStringField("unionisedAmmonia", "Emerson et al. 1975");
      if (!measured.isEmpty()) {
        g.writeObjectFieldStart("measured");
        writeSources(g, measured);
        g.writeEndObject();
      }
      g.writeEndObject();
      g.writeEndObject();
    }
    return text.toString();
  }

  private static void write(JsonGenerator g, List<Quantity> quantities) throws IOException {
    for (Quantity q : quantities) {
      g.writeFieldName(q.key());
      g.writeNumber(q.number());
    }
  }

  private static void writeSources(JsonGenerator g, List<Quantity> quantities) throws IOException {
    for (Quantity q : quantities) {
      if (!q.source().isEmpty()) {
        g.writeStringField(q.key(), q.source());
      }
    }
  }

  private static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }
}
