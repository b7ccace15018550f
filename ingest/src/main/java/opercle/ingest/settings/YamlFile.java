// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;

/** Opens YAML files for strict reading by {@link Section}. */
public final class YamlFile {

  private static final String NOT_YAML =
      "is not valid YAML: look here and just above at indents, colons, dashes, brackets and quotes";

  private YamlFile() {}

  /**
   * The text of a file that a person wrote.
   *
   * @throws UnusableInputException saying in words why it cannot be read
   */
  public static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (NoSuchFileException e) {
      throw new UnusableInputException(
          new Problem(file.toString(), 0, "", "there is no such file"));
    } catch (AccessDeniedException e) {
      throw new UnusableInputException(
          new Problem(file.toString(), 0, "", "cannot be read: this user may not"));
    } catch (CharacterCodingException e) {
      throw new UnusableInputException(
          new Problem(file.toString(), 0, "", "is not UTF-8 text; save it as UTF-8"));
    } catch (IOException e) {
      throw new UnusableInputException(
          new Problem(file.toString(), 0, "", "cannot be read: " + e.getMessage()));
    }
  }

  /**
   * The top of a YAML document, whose keys the caller then takes one by one.
   *
   * @param source what to call it in messages, usually the file's name
   * @param text the YAML
   * @param problems where everything wrong is collected
   * @throws UnusableInputException at once, if the text is not YAML or not a mapping at the top
   */
  public static Section parse(String source, String text, Problems problems) {
    Optional<Node> top;
    try {
      top = new Compose(LoadSettings.builder().setLabel(source).build()).composeString(text);
    } catch (MarkedYamlEngineException e) {
      int line = e.getProblemMark().map(m -> m.getLine() + 1).orElse(0);
      throw new UnusableInputException(new Problem(source, line, "", NOT_YAML));
    } catch (YamlEngineException e) {
      throw new UnusableInputException(new Problem(source, 0, "", NOT_YAML));
    }
    if (top.isPresent() && top.get() instanceof MappingNode mapping) {
      return new Section(source, "", mapping, problems);
    }
    throw new UnusableInputException(
        new Problem(source, 1, "", "must hold keys and values, for instance \"farm: Sallowmere\""));
  }
}
