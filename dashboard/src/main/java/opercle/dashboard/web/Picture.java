// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.Iterator;
import java.util.Optional;
import javax.imageio.IIOImage;
import javax.imageio.ImageIO;
import javax.imageio.ImageReader;
import javax.imageio.ImageWriteParam;
import javax.imageio.ImageWriter;
import javax.imageio.stream.ImageInputStream;
import javax.imageio.stream.MemoryCacheImageInputStream;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/**
 * A picture that was sent, drawn anew: whatever the file held besides the picture (places, names,
 * something that is no picture at all) is gone. Pure, but for memory: at most {@value #MOST_PIXELS}
 * pixels are unpacked, of 8 bytes at most, so that some 21 MB hold them. The pages send half as
 * many. For any thread.
 */
final class Picture {

  static final int LONGEST_SIDE = 1600;
  private static final long MOST_PIXELS = 2_600_000;
  private static final float QUALITY = 0.8f;
  private static final byte[] JPEG = {(byte) 0xff, (byte) 0xd8, (byte) 0xff};
  private static final byte[] PNG = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};

  private Picture() {}

  /**
   * The picture as JPEG, of at most {@value #LONGEST_SIDE} pixels a side.
   *
   * @throws Problem if it is no JPEG or PNG by its bytes, is damaged, or is too large
   */
  static byte[] drawnAnew(byte[] sent) {
    String format =
        format(sent).orElseThrow(() -> Problem.badRequest("The picture must be a JPEG or a PNG."));
    try {
      return jpeg(scaled(read(format, sent)));
    } catch (IOException | RuntimeException e) {
      if (e instanceof Problem problem) {
        throw problem;
      }
      // The library throws all sorts of things at what is damaged.
      throw Problem.badRequest("The picture cannot be read; it may be damaged.");
    }
  }

  private static Optional<String> format(byte[] sent) {
    return begins(sent, JPEG)
        ? Optional.of("jpeg")
        : begins(sent, PNG) ? Optional.of("png") : Optional.empty();
  }

  private static boolean begins(byte[] sent, byte[] with) {
    if (sent.length < with.length) {
      return false;
    }
    for (int i = 0; i < with.length; i++) {
      if (sent[i] != with[i]) {
        return false;
      }
    }
    return true;
  }

  private static BufferedImage read(String format, byte[] sent) throws IOException {
    Iterator<ImageReader> readers = ImageIO.getImageReadersByFormatName(format);
    ImageReader reader = readers.next();
    try (ImageInputStream in = new MemoryCacheImageInputStream(new ByteArrayInputStream(sent))) {
      reader.setInput(in, true, true);
      // Its head says how large it is: little that unpacks into much is turned away before that.
      long pixels = (long) reader.getWidth(0) * reader.getHeight(0);
      if (pixels > MOST_PIXELS) {
        throw Problem.tooLarge(
            "The picture must not have over 2.6 million pixels. Make it smaller first.");
      }
      return reader.read(0);
    } finally {
      reader.dispose();
    }
  }

  private static BufferedImage scaled(BufferedImage full) {
    double scale =
        Math.min(1.0, (double) LONGEST_SIDE / Math.max(full.getWidth(), full.getHeight()));
    int width = Math.max(1, (int) Math.round(full.getWidth() * scale));
    int height = Math.max(1, (int) Math.round(full.getHeight() * scale));
    BufferedImage small = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
    Graphics2D pen = small.createGraphics();
    try {
      pen.setColor(Color.WHITE); // behind what was transparent
      pen.fillRect(0, 0, width, height);
      pen.setRenderingHint(
          RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
      pen.drawImage(full, 0, 0, width, height, null);
    } finally {
      pen.dispose();
    }
    return small;
  }

  private static byte[] jpeg(BufferedImage image) throws IOException {
    ImageWriter writer = ImageIO.getImageWritersByFormatName("jpeg").next();
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (MemoryCacheImageOutputStream out = new MemoryCacheImageOutputStream(bytes)) {
      writer.setOutput(out);
      ImageWriteParam param = writer.getDefaultWriteParam();
      param.setCompressionMode(ImageWriteParam.MODE_EXPLICIT);
      param.setCompressionQuality(QUALITY);
      writer.write(null, new IIOImage(image, null, null), param);
    } finally {
      writer.dispose();
    }
    return bytes.toByteArray();
  }
}
