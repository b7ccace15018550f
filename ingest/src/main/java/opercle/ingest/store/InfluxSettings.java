// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.net.URI;
import java.nio.file.Path;
import java.util.Optional;

/**
 * How to reach an InfluxDB: 1.8, 2.x or 3.
 *
 * @param url where it answers, {@code http://host:port} or {@code https://host:port}
 * @param org the organisation, which only 2.x has; any word elsewhere
 * @param readings where readings are kept
 * @param minutes where each minute's least, most and mean are kept; may be the same place
 * @param token what to authenticate with; 1.8: {@code user:password}. Never shown
 * @param caFile certificates to trust in place of the system's, PEM
 */
public record InfluxSettings(
    URI url,
    String org,
    Place readings,
    Place minutes,
    Optional<String> token,
    Optional<Path> caFile) {

  /**
   * A bucket, by its names for writing and for reading.
   *
   * @param bucket the bucket's name; 1.8: {@code database} or {@code database/retention-policy}; 3:
   *     the database
   * @param database what InfluxQL calls it, the same unless a mapping of 2.x gives it another name
   * @param retentionPolicy what follows a slash; empty: the database's default
   */
  public record Place(String bucket, String database, Optional<String> retentionPolicy) {

    /**
     * A bucket that InfluxQL knows by another name, or by its own.
     *
     * @param readAs {@code database} or {@code database/retention-policy}
     */
    public static Place of(String bucket, String readAs) {
      int slash = readAs.indexOf('/');
      return slash < 0
          ? new Place(bucket, readAs, Optional.empty())
          : new Place(bucket, readAs.substring(0, slash), Optional.of(readAs.substring(slash + 1)));
    }
  }

  @Override
  public String toString() {
    return "InfluxDB at %s, %s and %s".formatted(url, readings.bucket(), minutes.bucket());
  }
}
