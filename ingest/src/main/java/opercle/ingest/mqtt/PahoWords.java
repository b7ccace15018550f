// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import javax.net.ssl.SSLException;
import opercle.ingest.settings.TlsWords;
import org.eclipse.paho.mqttv5.client.MqttClientException;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.jspecify.annotations.Nullable;

/** The client library's and the broker's codes, in words for a person. */
final class PahoWords {

  private PahoWords() {}

  static String whyNoConnection(MqttSettings settings, MqttException e) {
    Throwable cause = e.getCause();
    String why;
    if (cause instanceof NoRouteToHostException) {
      why = "no way leads there; is the network up?";
    } else if (cause instanceof ConnectException) {
      why = "nothing answers there; is the broker running?";
    } else if (cause instanceof UnknownHostException) {
      why = "there is no host of that name";
    } else if (cause instanceof SocketTimeoutException) {
      why = "the host does not answer";
    } else if (cause instanceof SSLException) {
      why = TlsWords.why(cause);
    } else if (cause instanceof SocketException) {
      why = "the network fails; is the cable in, and the router up?";
    } else if (e.getReasonCode() == MqttException.REASON_CODE_MALFORMED_PACKET) {
      // What the library says where nothing comes back, as when the network was cut.
      why = "no answer came that could be read; is the network up, and is it an MQTT broker?";
    } else {
      why = why(e);
    }
    return "cannot connect to the MQTT broker %s: %s".formatted(settings, why);
  }

  static String why(MqttException e) {
    int code = e.getReasonCode();
    if (code == MqttClientException.REASON_CODE_CLIENT_TIMEOUT) {
      return "the broker did not answer in time";
    }
    if (code == MqttClientException.REASON_CODE_CONNECTION_LOST
        || code == MqttClientException.REASON_CODE_CLIENT_NOT_CONNECTED
        || code == MqttClientException.REASON_CODE_CLIENT_CLOSED
        || code == MqttClientException.REASON_CODE_CLIENT_ALREADY_DISCONNECTED
        || code == MqttClientException.REASON_CODE_CLIENT_DISCONNECTING) {
      return "the connection has ended";
    }
    if (code >= 0x80 && code <= 0xff) {
      return reason(code);
    }
    return e.getCause() instanceof SSLException broken
        ? TlsWords.why(broken)
        : "the connection does not work; the log says more";
  }

  static String why(@Nullable MqttDisconnectResponse response) {
    if (response == null) {
      return "the connection has ended";
    }
    MqttException e = response.getException();
    if (e != null) {
      return why(e);
    }
    return response.getReturnCode() >= 0x80
        ? reason(response.getReturnCode())
        : "the broker ended the connection";
  }

  /** Reason codes of MQTT 5, section 2.4. */
  static String reason(int code) {
    String words =
        switch (code) {
          case 0x81 -> "malformed packet";
          case 0x82 -> "protocol error";
          case 0x84 -> "the broker does not speak MQTT 5";
          case 0x85 -> "the broker does not accept this client id";
          case 0x86 -> "wrong user name or password";
          case 0x87 -> "not authorised";
          case 0x88 -> "the broker is unavailable";
          case 0x89 -> "the broker is busy";
          case 0x8a -> "banned";
          case 0x8b -> "the broker is shutting down";
          case 0x8d -> "keep-alive timed out";
          case 0x8e -> "another client took over this client id";
          case 0x8f -> "topic filter not valid";
          case 0x90 -> "topic name not valid";
          case 0x93 -> "more messages in flight than allowed";
          case 0x95 -> "packet too large";
          case 0x96 -> "too many messages";
          case 0x97 -> "quota exceeded";
          case 0x9a -> "the broker does not retain messages";
          case 0x9e -> "the broker has no shared subscriptions";
          case 0x9f -> "connecting too often";
          case 0xa2 -> "the broker has no wildcard subscriptions";
          default -> "refused";
        };
    return "%s (MQTT reason 0x%02x)".formatted(words, code);
  }
}
