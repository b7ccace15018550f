// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.Locale;
import java.util.concurrent.Callable;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.WaterConditions;
import opercle.analysis.water.WaterProperties;
import opercle.analysis.water.WaterProperties.AmmoniaShare;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code water}: what one water can hold. */
@Command(name = "water", description = "Oxygen saturation of a water, and what goes with it.")
final class WaterCommand implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Option(
      names = "--temperature",
      required = true,
      paramLabel = "C",
      description = "Water temperature, 0 to 40 °C.")
  private double temperatureC;

  @Option(
      names = "--salinity",
      paramLabel = "G_PER_KG",
      defaultValue = "0",
      description = "Salinity, 0 to 40 g/kg; fresh water if left out.")
  private double salinityGPerKg;

  @ArgGroup private @Nullable Pressure pressure;

  @Option(names = "--json", description = "The same as JSON.")
  private boolean json;

  private static final class Pressure {
    @Option(
        names = "--pressure",
        paramLabel = "KPA",
        description = "Air pressure at the site, not reduced to sea level, 50.7 to 111.4 kPa.")
    private @Nullable Double kPa;

    @Option(
        names = "--altitude",
        paramLabel = "M",
        description = "Metres above sea level, in place of a pressure; sea level if left out.")
    private @Nullable Double altitudeM;

    private double pressureKPa() {
      if (kPa != null) {
        return kPa;
      }
      return AirPressure.atAltitudeKPa(altitudeM == null ? 0.0 : altitudeM);
    }
  }

  @Override
  public Integer call() throws IOException {
    WaterProperties water;
    try {
      double kPa = pressure == null ? AirPressure.ONE_ATMOSPHERE_KPA : pressure.pressureKPa();
      water = WaterProperties.of(new WaterConditions(temperatureC, salinityGPerKg, kPa));
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      out.println(asJson(water));
    } else {
      print(water, out);
    }
    out.flush();
    return 0;
  }

  private static void print(WaterProperties w, PrintWriter out) {
    WaterConditions c = w.conditions();
    line(
        out,
        "Water at %s °C, %s g/kg salt, air pressure %.2f kPa",
        plain(c.temperatureC()),
        plain(c.salinityGPerKg()),
        c.pressureKPa());
    line(out, "");
    line(
        out,
        "  oxygen at 100 %% saturation     %7.2f mg/L   (Benson & Krause 1984)",
        w.saturationMgPerL());
    line(
        out,
        "    second opinion               %7.2f mg/L   (Garcia & Gordon 1992)",
        w.secondOpinionMgPerL());
    line(out, "  under pure oxygen              %7.1f mg/L", w.pureOxygenMgPerL());
    line(out, "  oxygen tension at saturation   %7.2f kPa", w.oxygenTensionKPa());
    line(out, "  water vapour                   %7.3f kPa", w.vapourPressureKPa());
    line(out, "");
    line(out, "  un-ionised share of ammonia (Emerson 1975)");
    for (AmmoniaShare share : w.ammonia()) {
      line(out, "    at pH %.1f                     %7.3f %%", share.pH(), share.fraction() * 100);
    }
  }

  private static void line(PrintWriter out, String format, Object... values) {
    out.println(String.format(Locale.ROOT, format, values));
  }

  private static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }

  private static String asJson(WaterProperties w) throws IOException {
    StringWriter text = new StringWriter();
    try (JsonGenerator g =
        new ObjectMapper().getFactory().createGenerator(text).useDefaultPrettyPrinter()) {
      g.writeStartObject();
      g.writeNumberField("temperatureC", w.conditions().temperatureC());
      g.writeNumberField("salinityGPerKg", w.conditions().salinityGPerKg());
      number(g, "pressureKPa", w.conditions().pressureKPa(), 3);
      number(g, "saturationMgPerL", w.saturationMgPerL(), 4);
      number(g, "secondOpinionMgPerL", w.secondOpinionMgPerL(), 4);
      number(g, "secondOpinionUmolPerKg", w.secondOpinionUmolPerKg(), 2);
      number(g, "pureOxygenMgPerL", w.pureOxygenMgPerL(), 2);
      number(g, "oxygenTensionKPa", w.oxygenTensionKPa(), 3);
      number(g, "vapourPressureKPa", w.vapourPressureKPa(), 4);
      g.writeArrayFieldStart("unionisedAmmonia");
      for (AmmoniaShare share : w.ammonia()) {
        g.writeStartObject();
        g.writeNumberField("pH", share.pH());
        number(g, "fraction", share.fraction(), 6);
        g.writeEndObject();
      }
      g.writeEndArray();
      g.writeObjectFieldStart("sources");
      g.writeStringField("saturationMgPerL", "Benson & Krause 1984");
      g.writeStringField("secondOpinionMgPerL", "Garcia & Gordon 1992");
      g.writeStringField("vapourPressureKPa", "Benson & Krause 1980");
      g.writeStringField("unionisedAmmonia", "Emerson et al. 1975");
      g.writeEndObject();
      g.writeEndObject();
    }
    return text.toString();
  }

  private static void number(JsonGenerator g, String key, double value, int decimals)
      throws IOException {
    g.writeFieldName(key);
    g.writeNumber(String.format(Locale.ROOT, "%." + decimals + "f", value));
  }
}
