// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

/**
 * The message that the broker publishes, with QoS 1, if this program is gone without a farewell.
 *
 * @param topic where
 * @param payload what; not copied
 * @param retained whether the broker keeps it for later subscribers
 */
@SuppressWarnings("ArrayRecordComponent") // never compared
public record Will(String topic, byte[] payload, boolean retained) {}
