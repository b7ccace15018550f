// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.awt.image.BufferedImage;
import java.awt.image.IndexColorModel;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.Comparator;
import java.util.HashMap;
import java.util.Map;
import java.util.stream.IntStream;
import javax.imageio.ImageIO;

/** Pictures of pages in few colours, as pages have: the commonest, the rest to the nearest one. */
final class CompactPng {

  static final int LARGEST = 64_000;

  private static final int COLOURS = 32;

  private CompactPng() {}

  static byte[] of(byte[] png) throws IOException {
    BufferedImage full = ImageIO.read(new ByteArrayInputStream(png));
    int width = full.getWidth();
    int height = full.getHeight();
    int[] pixels = full.getRGB(0, 0, width, height, new int[width * height], 0, width);
    Map<Integer, Integer> counts = new HashMap<>();
    for (int pixel : pixels) {
      counts.merge(pixel, 1, Integer::sum);
    }
    int[] palette =
        counts.entrySet().stream()
            .sorted(Map.Entry.<Integer, Integer>comparingByValue(Comparator.reverseOrder()))
            .limit(COLOURS)
            .mapToInt(Map.Entry::getKey)
            .toArray();
    var model = new IndexColorModel(8, palette.length, palette, 0, false, -1, 0);
    var small = new BufferedImage(width, height, BufferedImage.TYPE_BYTE_INDEXED, model);
    Map<Integer, Integer> places = new HashMap<>();
    byte[] indexed = new byte[pixels.length];
    for (int i = 0; i < pixels.length; i++) {
      indexed[i] = places.computeIfAbsent(pixels[i], p -> nearest(p, palette)).byteValue();
    }
    small.getRaster().setDataElements(0, 0, width, height, indexed);
    var out = new ByteArrayOutputStream();
    ImageIO.write(small, "png", out);
    return out.toByteArray();
  }

  private static int nearest(int pixel, int[] palette) {
    return IntStream.range(0, palette.length)
        .boxed()
        .min(Comparator.comparingInt(i -> distance(pixel, palette[i])))
        .orElseThrow();
  }

  private static int distance(int a, int b) {
    int red = (a >> 16 & 0xff) - (b >> 16 & 0xff);
    int green = (a >> 8 & 0xff) - (b >> 8 & 0xff);
    int blue = (a & 0xff) - (b & 0xff);
    return red * red + green * green + blue * blue;
  }
}
