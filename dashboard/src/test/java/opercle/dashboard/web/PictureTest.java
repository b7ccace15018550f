// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.zip.CRC32;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PictureTest {

  static byte[] picture(String format, int width, int height) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    assertThat(
            ImageIO.write(
                new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB), format, out))
        .isTrue();
    return out.toByteArray();
  }

  @ParameterizedTest
  @ValueSource(strings = {"jpeg", "png"})
  void picture_isDrawnAnew_smallEnough_inItsOwnShape(String format) throws IOException {
    byte[] anew = Picture.drawnAnew(picture(format, 2400, 900));

    BufferedImage image = ImageIO.read(new ByteArrayInputStream(anew));
    assertThat(anew).startsWith(0xff, 0xd8, 0xff);
    assertThat(image.getWidth()).isEqualTo(1600);
    assertThat(image.getHeight()).isEqualTo(600);
  }

  @Test
  void whatElseTheFileHeld_isGone() throws IOException {
    byte[] secret = "51.5N 0.1W <script>".getBytes(StandardCharsets.UTF_8);
    byte[] plain = picture("jpeg", 40, 30);
    // A comment segment after the start of the image, and something after its end.
    ByteBuffer sent = ByteBuffer.allocate(plain.length + 4 + 2 * secret.length);
    sent.put(plain, 0, 2).put((byte) 0xff).put((byte) 0xfe).putShort((short) (secret.length + 2));
    sent.put(secret).put(plain, 2, plain.length - 2).put(secret);

    String anew = new String(Picture.drawnAnew(sent.array()), StandardCharsets.ISO_8859_1);

    assertThat(anew).doesNotContain("51.5N", "script");
  }

  @Test
  void whatIsNoPicture_orIsDamaged_isRefused() throws IOException {
    assertThatThrownBy(() -> Picture.drawnAnew("<svg/>".getBytes(StandardCharsets.UTF_8)))
        .hasMessage("The picture must be a JPEG or a PNG.");
    assertThatThrownBy(() -> Picture.drawnAnew(picture("gif", 4, 4)))
        .hasMessage("The picture must be a JPEG or a PNG.");
    assertThatThrownBy(() -> Picture.drawnAnew(Arrays.copyOf(picture("png", 400, 400), 60)))
        .hasMessageContaining("may be damaged");
    assertThatThrownBy(() -> Picture.drawnAnew(new byte[] {(byte) 0xff, (byte) 0xd8, (byte) 0xff}))
        .hasMessageContaining("may be damaged");
  }

  @Test
  void littleThatUnpacksIntoMuch_isTurnedAwayByItsHead() throws IOException {
    byte[] png = picture("png", 4, 4);
    ByteBuffer head = ByteBuffer.wrap(png);
    head.putInt(16, 30_000).putInt(20, 30_000); // width and height in IHDR, then its checksum
    CRC32 sum = new CRC32();
    sum.update(png, 12, 17);
    head.putInt(29, (int) sum.getValue());

    assertThatThrownBy(() -> Picture.drawnAnew(png))
        .hasMessage("The picture must not have over 2.6 million pixels. Make it smaller first.");
  }
}
