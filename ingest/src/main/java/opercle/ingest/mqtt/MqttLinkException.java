// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

/** Something that was asked of the broker did not happen; the message says what and why. */
public final class MqttLinkException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public MqttLinkException(String message) {
    super(message);
  }

  public MqttLinkException(String message, Throwable cause) {
    super(message, cause);
  }
}
