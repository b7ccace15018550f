// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

/** The embedded broker could not start; the message says why and what to do. */
public final class BrokerStartException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  BrokerStartException(String message) {
    super(message);
  }

  BrokerStartException(String message, Throwable cause) {
    super(message, cause);
  }
}
