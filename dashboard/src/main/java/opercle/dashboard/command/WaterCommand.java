// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.concurrent.Callable;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.WaterConditions;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code water}: what one water can hold, and what its own readings say. */
@Command(
    name = "water",
    description = {
      "Oxygen saturation of a water, and what goes with it.",
      "Give its readings as well to see percent, gas pressure, ammonia and carbon dioxide."
    })
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

  @Option(
      names = "--oxygen",
      paramLabel = "MG_PER_L",
      description = "Oxygen measured, mg/L: tells percent, tension and total gas pressure.")
  private @Nullable Double oxygenMgPerL;

  @Option(
      names = "--ph",
      paramLabel = "PH",
      description = "pH measured, 6 to 10: tells the un-ionised share of ammonia.")
  private @Nullable Double pH;

  @Option(
      names = "--tan",
      paramLabel = "MG_PER_L",
      description = "Total ammonia measured, mg/L as nitrogen; with --ph.")
  private @Nullable Double tanMgPerL;

  @Option(
      names = "--alkalinity",
      paramLabel = "MG_PER_L",
      description = "Alkalinity, mg/L as CaCO3; with --ph up to 8.5: tells free carbon dioxide.")
  private @Nullable Double alkalinityMgPerL;

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
    WaterReport report;
    try {
      report = report();
    } catch (IllegalArgumentException e) {
      throw new ParameterException(spec.commandLine(), String.valueOf(e.getMessage()), e);
    }
    PrintWriter out = spec.commandLine().getOut();
    out.println(json ? report.asJson() : report.asText());
    out.flush();
    return 0;
  }

  private WaterReport report() {
    double kPa = pressure == null ? AirPressure.ONE_ATMOSPHERE_KPA : pressure.pressureKPa();
    WaterReport report = new WaterReport(new WaterConditions(temperatureC, salinityGPerKg, kPa));
    Double freeCarbonDioxide = null;
    if (pH != null) {
      report.addAmmonia(pH, tanMgPerL);
      if (alkalinityMgPerL != null) {
        freeCarbonDioxide = report.addCarbonDioxide(pH, alkalinityMgPerL);
      }
    } else if (tanMgPerL != null) {
      throw new IllegalArgumentException("--tan needs --ph beside it");
    } else if (alkalinityMgPerL != null) {
      throw new IllegalArgumentException("--alkalinity needs --ph beside it");
    }
    if (oxygenMgPerL != null) {
      report.addOxygen(oxygenMgPerL, freeCarbonDioxide);
    }
    return report;
  }
}
