// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.Base64;
import java.util.Optional;

/**
 * A picture that goes with a check of a trip, in the trip's file.
 *
 * @param about the id of the check
 * @param time when it came in
 * @param by who sent it
 * @param sent names what was sent first: the same again is the same picture
 * @param jpegBase64 the picture, JPEG, in base64
 */
public record TripPhoto(String about, Instant time, String by, String sent, String jpegBase64) {

  /** A picture as the pages make it is a tenth of this. */
  static final int MOST_BYTES = 2_000_000;

  /** Of a picture's bytes. */
  public static TripPhoto of(String about, Instant time, String by, String sent, byte[] jpeg) {
    return new TripPhoto(about, time, by, sent, Base64.getEncoder().encodeToString(jpeg));
  }

  /** The picture. */
  public byte[] jpeg() {
    return Base64.getDecoder().decode(jpegBase64);
  }

  ObjectNode write() {
    return EntryForm.JSON
        .createObjectNode()
        .put("about", about)
        .put("time", time.toString())
        .put("by", by)
        .put("sent", sent)
        .put("jpeg", jpegBase64);
  }

  /** Reads one; empty where something of it is wrong. */
  static Optional<TripPhoto> read(Fields f) {
    int before = f.faults().size();
    String about = f.id("about");
    Instant time = f.time("time");
    String by = f.text("by", 1, 60);
    String sent = f.text("sent", 1, 64);
    String jpeg = f.text("jpeg", 1, MOST_BYTES / 3 * 4);
    f.noOthers();
    TripPhoto photo = new TripPhoto(about, time, by, sent, jpeg);
    try {
      var unused = photo.jpeg();
    } catch (IllegalArgumentException e) {
      f.wrong("jpeg", "a JPEG in base64", "");
    }
    return f.faults().size() > before ? Optional.empty() : Optional.of(photo);
  }
}
