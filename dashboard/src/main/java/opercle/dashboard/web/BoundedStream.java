// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.util.function.Supplier;

/** A body that says nothing of its length may still not be longer than this. For one thread. */
final class BoundedStream extends FilterInputStream {

  private final Supplier<Problem> beyond;
  private long left;

  /**
   * @param most bytes
   * @param beyond what is wrong with more
   */
  BoundedStream(InputStream in, long most, Supplier<Problem> beyond) {
    super(in);
    this.left = most;
    this.beyond = beyond;
  }

  @Override
  public int read() throws IOException {
    int read = super.read();
    count(read < 0 ? 0 : 1);
    return read;
  }

  @Override
  public int read(byte[] into, int from, int length) throws IOException {
    int read = super.read(into, from, length);
    count(Math.max(0, read));
    return read;
  }

  @Override
  public boolean markSupported() {
    return false;
  }

  private void count(int read) {
    left -= read;
    if (left < 0) {
      throw beyond.get();
    }
  }
}
