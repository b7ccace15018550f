// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;

/**
 * When a message arrived first, and what it is known by if the broker sends it again.
 *
 * @param packetId the MQTT packet identifier, 1 to 65,535, which a broker keeps when it sends an
 *     unacknowledged message again in the same session (MQTT 5, section 4.4)
 * @param fingerprint a 64-bit hash of topic and payload
 * @param time when it arrived, to the millisecond
 */
public record Arrival(int packetId, long fingerprint, Instant time) {}
