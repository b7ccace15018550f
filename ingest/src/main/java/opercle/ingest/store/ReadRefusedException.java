// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

/**
 * InfluxDB is there and does not answer a question: the token may not read, or whatever else it
 * says.
 */
final class ReadRefusedException extends StoreException {

  private static final long serialVersionUID = 1L;

  ReadRefusedException(String message) {
    super(message);
  }
}
