// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.time.Instant;
import java.util.Optional;

/**
 * How a link to the broker stands.
 *
 * @param connected whether messages can pass now, subscriptions included
 * @param trouble why not, in words; empty if connected, closed, or not tried yet
 * @param since since when it has been so
 */
public record LinkState(boolean connected, Optional<String> trouble, Instant since) {}
