// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.abort;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import javax.imageio.ImageIO;

/**
 * A PDF as another reader (poppler) has it: its words, and a picture of each of its pages. Where
 * poppler is not installed the test is skipped, unless {@code OPERCLE_REQUIRE_SERVICES=1}.
 */
public final class Paper {

  private static final int DOTS_PER_INCH = 72;

  /** No printer reaches further out, points. */
  private static final int MARGIN = 20;

  private final String text;
  private final List<BufferedImage> pages;

  private Paper(String text, List<BufferedImage> pages) {
    this.text = text;
    this.pages = pages;
  }

  /**
   * Reads a file; fails where poppler complains.
   *
   * @param scratch where to put what is made of it
   */
  public static Paper read(Path pdf, Path scratch) throws IOException, InterruptedException {
    Path folder = Files.createTempDirectory(scratch, "paper");
    Path words = folder.resolve("words.txt");
    run(folder, "pdftotext", "-raw", pdf.toString(), words.toString());
    run(
        folder,
        "pdftoppm",
        "-r",
        Integer.toString(DOTS_PER_INCH),
        "-png",
        pdf.toString(),
        folder.resolve("page").toString());
    List<BufferedImage> pages = new ArrayList<>();
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.filter(f -> f.toString().endsWith(".png")).sorted().toList()) {
        pages.add(ImageIO.read(file.toFile()));
      }
    }
    return new Paper(Files.readString(words, UTF_8), pages);
  }

  private static void run(Path folder, String... command) throws IOException, InterruptedException {
    Path complaints = folder.resolve("complaints.txt");
    Process process;
    try {
      process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(complaints.toFile())
              .start();
    } catch (IOException e) {
      String why = command[0] + " of poppler-utils is not installed: " + e.getMessage();
      assertThat(System.getenv("OPERCLE_REQUIRE_SERVICES")).as(why).isNotEqualTo("1");
      abort(why);
      return;
    }
    try {
      assertThat(process.waitFor(60, TimeUnit.SECONDS)).as(command[0]).isTrue();
      assertThat(process.exitValue()).as(command[0]).isZero();
      assertThat(complaints).isEmptyFile();
    } finally {
      process.destroyForcibly();
    }
  }

  /** Its text, in the order in which it is drawn. */
  public String text() {
    return text;
  }

  /**
   * It is one page with something on it and nothing at its edges, and every word of the report can
   * be found in it as text.
   *
   * @param report the words, however they are laid out
   */
  public void requireOneWholePage(String report) {
    assertThat(pages).hasSize(1);
    BufferedImage page = pages.get(0);
    int inside = 0;
    for (int x = 0; x < page.getWidth(); x++) {
      for (int y = 0; y < page.getHeight(); y++) {
        boolean isInk = (page.getRGB(x, y) & 0xff) < 200;
        boolean isMargin =
            Math.min(x, page.getWidth() - 1 - x) < MARGIN
                || Math.min(y, page.getHeight() - 1 - y) < MARGIN;
        assertThat(isInk && isMargin).as("ink at the edge: %d, %d", x, y).isFalse();
        inside += isInk ? 1 : 0;
      }
    }
    assertThat(inside).as("dots with ink").isGreaterThan(page.getWidth() * page.getHeight() / 200);
    // A word that a narrow column breaks goes on in the next line.
    String there = text.replaceAll("\\s+", "").toLowerCase(Locale.ROOT);
    assertThat(
            Stream.of(report.split("\\s+", -1))
                .map(word -> word.toLowerCase(Locale.ROOT))
                .distinct())
        .as("words of the report")
        .isNotEmpty()
        .allSatisfy(word -> assertThat(there).contains(word));
  }
}
