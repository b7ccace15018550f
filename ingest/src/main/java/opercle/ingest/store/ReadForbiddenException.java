// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

/** InfluxDB answers, and does not let our token read. */
final class ReadForbiddenException extends StoreException {

  private static final long serialVersionUID = 1L;

  ReadForbiddenException(String message) {
    super(message);
  }
}
