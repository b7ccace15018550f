// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Instant;
import java.util.List;
import opercle.ingest.payload.Decoded;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Rejection.Reason;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Reads messages as what they are: fresh or kept by the broker. Never throws. */
record DeliveryReader(PayloadDecoder decoder) {

  private static final Logger LOG = LoggerFactory.getLogger(DeliveryReader.class);

  /**
   * What a message came to.
   *
   * @param arrived when it arrived first
   */
  Decoded read(Delivery delivery, Instant arrived) {
    try {
      // A retained message may be old: its arrival means something only if the broker noted it.
      return delivery.retained() && delivery.brokerArrival().isEmpty()
          ? decoder.decodeRetained(delivery.topic(), delivery.payload(), arrived)
          : decoder.decode(delivery.topic(), delivery.payload(), arrived);
    } catch (RuntimeException e) { // a fault of ours; the messages after this one must still come
      LOG.error("A message on {} could not be decoded and is given up.", delivery.topic(), e);
      Rejection rejection =
          new Rejection(
              Reason.MALFORMED,
              delivery.topic(),
              "the message could not be decoded: " + e,
              arrived);
      return new Decoded(List.of(), List.of(rejection));
    }
  }

  /** Whether something of it was turned away because the farm is not known to have it. */
  static boolean isOfUnknown(Decoded decoded) {
    return decoded.rejections().stream()
        .map(Rejection::reason)
        .anyMatch(reason -> reason == Reason.UNKNOWN_TANK || reason == Reason.UNKNOWN_TOPIC);
  }
}
