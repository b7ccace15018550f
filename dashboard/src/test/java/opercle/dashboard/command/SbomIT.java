// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Properties;
import java.util.Set;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.junit.jupiter.api.Test;

/**
 * Whether the list of what is in the jar, by which people look for known holes, is true: every
 * library that is packed stands in it, in the version and with the bytes that are packed.
 */
class SbomIT {

  private static final Path JAR = Path.of(System.getProperty("opercle.jar", "target/opercle.jar"));
  private static final String OURS = "opercle-";

  /**
   * A library as the list has it, or the class path.
   *
   * @param name and version, with a colon between
   */
  private record Library(String name, String sha256) {}

  private static List<Library> listed() throws IOException {
    Path sbom =
        Path.of(
            System.getProperty("opercle.sbom", JAR.resolveSibling("opercle-sbom.json").toString()));
    assertThat(sbom).as("the build writes it when it packs the jar").isRegularFile();
    List<Library> listed = new ArrayList<>();
    for (JsonNode component :
        new ObjectMapper().readTree(Files.readAllBytes(sbom)).path("components")) {
      String sha256 = "";
      for (JsonNode hash : component.path("hashes")) {
        if (hash.path("alg").asText().equals("SHA-256")) {
          sha256 = hash.path("content").asText();
        }
      }
      String name = component.path("name").asText();
      if (!name.startsWith(OURS)) {
        listed.add(new Library(name + ":" + component.path("version").asText(), sha256));
      }
    }
    return listed;
  }

  /** The libraries that are here to be packed or to test with, from a Maven repository. */
  private static List<Path> onTheClassPath() {
    return Stream.of(System.getProperty("java.class.path").split(File.pathSeparator, -1))
        .map(Path::of)
        .filter(path -> path.toString().endsWith(".jar") && Files.isRegularFile(path))
        .filter(path -> !path.getFileName().toString().startsWith(OURS))
        .toList();
  }

  /** …/artifact/version/artifact-version.jar. */
  private static Library library(Path jar) throws IOException, NoSuchAlgorithmException {
    Path version = Objects.requireNonNull(jar.getParent());
    byte[] digest = MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(jar));
    return new Library(
        Objects.requireNonNull(version.getParent()).getFileName() + ":" + version.getFileName(),
        HexFormat.of().formatHex(digest));
  }

  private static List<Path> listedOnTheClassPath() throws Exception {
    List<Library> listed = listed();
    List<Path> there = new ArrayList<>();
    for (Path jar : onTheClassPath()) {
      if (listed.contains(library(jar))) {
        there.add(jar);
      }
    }
    return there;
  }

  /** Classes by name, each with the check sum of its bytes. */
  private static Map<String, Long> classes(Path jar) throws IOException {
    Map<String, Long> classes = new HashMap<>();
    try (ZipFile zip = new ZipFile(jar.toFile())) {
      zip.stream()
          .filter(entry -> entry.getName().endsWith(".class"))
          .filter(entry -> !entry.getName().startsWith("opercle/"))
          .forEach(entry -> classes.put(entry.getName(), entry.getCrc()));
    }
    return classes;
  }

  @Test
  void everyClassInTheJar_isOfALibraryThatIsListed_inTheVersionThatIsListed() throws Exception {
    Map<String, Long> packed = classes(JAR);
    assertThat(packed).as("classes of libraries in the jar").hasSizeGreaterThan(5_000);
    for (Path library : listedOnTheClassPath()) {
      packed.entrySet().removeAll(classes(library).entrySet());
    }
    assertThat(packed.keySet()).as("classes of no listed library").isEmpty();
  }

  @Test
  void jar_isSmallEnoughForASlowLine() throws IOException {
    assertThat(Files.size(JAR)).as("bytes").isBetween(10_000_000L, 60_000_000L);
  }

  /**
   * The other way: what names itself in the jar is listed, or came inside a library that is, as
   * some carry others. Those a scanner of the list does not see, one of the jar does.
   */
  @Test
  void whateverNamesItselfInTheJar_isListed_orCameInsideWhatIs() throws Exception {
    Set<String> accounted = new HashSet<>();
    listed().forEach(library -> accounted.add(library.name()));
    for (Path library : listedOnTheClassPath()) {
      accounted.addAll(named(library));
    }
    assertThat(named(JAR)).hasSizeGreaterThan(30);
    assertThat(accounted).containsAll(named(JAR));
  }

  /** The libraries that name themselves in a jar, as Maven has them do. */
  private static List<String> named(Path jar) throws IOException {
    List<String> names = new ArrayList<>();
    try (ZipFile zip = new ZipFile(jar.toFile())) {
      for (ZipEntry entry : zip.stream().filter(SbomIT::namesALibrary).toList()) {
        Properties of = new Properties();
        of.load(zip.getInputStream(entry));
        names.add(of.getProperty("artifactId") + ":" + of.getProperty("version"));
      }
    }
    return names;
  }

  private static boolean namesALibrary(ZipEntry entry) {
    return entry.getName().startsWith("META-INF/maven/")
        && entry.getName().endsWith("/pom.properties")
        && !entry.getName().startsWith("META-INF/maven/opercle/");
  }
}
