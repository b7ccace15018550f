// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

/** InfluxDB took a question and had not answered it when we ended the wait. */
final class ReadTimedOutException extends StoreException {

  private static final long serialVersionUID = 1L;

  ReadTimedOutException(String message, Throwable cause) {
    super(message, cause);
  }
}
