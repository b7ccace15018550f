// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.PrintWriter;
import java.util.Set;
import opercle.analysis.book.BookException;
import opercle.dashboard.push.PushKeysException;
import opercle.dashboard.web.PortTakenException;
import opercle.ingest.mqtt.BrokerStartException;
import opercle.ingest.settings.UnusableInputException;
import opercle.ingest.store.StoreException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.ScopeType;

/** The command line's top: {@code java -jar opercle.jar COMMAND}. */
@Command(
    name = "opercle",
    mixinStandardHelpOptions = true,
    version = "Opercle 0.1.0",
    scope = ScopeType.INHERIT,
    description =
        "Watches the tanks that live fish are held and hauled in, and says how many minutes are in hand.",
    synopsisSubcommandLabel = "COMMAND",
    subcommands = {
      DemoCommand.class,
      ServeCommand.class,
      IngestCommand.class,
      AnalyseCommand.class,
      DashboardCommand.class,
      SimulateCommand.class,
      ReplayCommand.class,
      PlanCommand.class,
      WaterCommand.class,
      AssessCommand.class,
      EveningCommand.class,
      UserCommand.class,
      TokenCommand.class,
      MqttPasswordCommand.class
    },
    footer = {
      "",
      "A monitor is a second pair of eyes, never a reason to skip the checks at the stops.",
      "Exit codes: 0 fine, 1 ran but the answer is bad, 2 unusable input."
    })
public final class OpercleCommand {

  private static final Logger log = LoggerFactory.getLogger(OpercleCommand.class);

  /** In the environment, as logging begins before the configuration is read. */
  private static final String LOG_FORM = "OPERCLE_LOG";

  private static final Set<String> LOG_FORMS = Set.of("text", "json");

  private static final int UNUSABLE_INPUT = 2;
  private static final int INTERNAL_ERROR = 70; // EX_SOFTWARE of sysexits.h

  private OpercleCommand() {}

  /** Runs a command and ends the process with its exit code. */
  public static void main(String[] args) {
    PrintWriter err = new PrintWriter(System.err, true, UTF_8);
    String form = System.getenv().getOrDefault(LOG_FORM, "text");
    if (!LOG_FORMS.contains(form)) { // logback.xml would log nothing at all
      err.println("opercle: %s: \"%s\" must be text or json".formatted(LOG_FORM, form));
      System.exit(UNUSABLE_INPUT);
    }
    System.exit(run(args, new PrintWriter(System.out, true, UTF_8), err));
  }

  /**
   * Runs a command.
   *
   * @return 0 fine, 1 ran but the answer is bad, 2 unusable input, 70 a fault of ours
   */
  static int run(String[] args, PrintWriter out, PrintWriter err) {
    CommandLine line = new CommandLine(new OpercleCommand());
    line.setOut(out);
    line.setErr(err);
    line.setUsageHelpAutoWidth(false);
    line.setUsageHelpWidth(100);
    line.setParameterExceptionHandler(
        (e, a) -> {
          err.println(
              Ansi.OFF.string(
                  "opercle: "
                      + e.getMessage()
                      + " (see opercle "
                      + (e.getCommandLine().getParent() == null
                          ? ""
                          : e.getCommandLine().getCommandName() + " ")
                      + "--help)"));
          return UNUSABLE_INPUT;
        });
    line.setExecutionExceptionHandler(
        (e, cmd, result) -> {
          if (e instanceof UnusableInputException
              || e instanceof BrokerStartException
              || e instanceof PortTakenException
              || e instanceof StoreException
              || e instanceof BookException
              || e instanceof PushKeysException) {
            err.println(e.getMessage());
            return UNUSABLE_INPUT;
          }
          log.error("{} failed", cmd.getCommandName(), e);
          err.println("opercle: a fault of the program, please report it: " + e);
          return INTERNAL_ERROR;
        });
    return args.length == 0 ? usage(line, out) : line.execute(args);
  }

  private static int usage(CommandLine line, PrintWriter out) {
    line.usage(out);
    return 0;
  }
}
