// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.Set;

/**
 * Something urgent that people are called for in steps, by one channel after another. Immutable.
 *
 * @param <C> itself
 */
interface Rung<C extends Rung<C>> {

  /** Whether people are being called for it. */
  boolean calling();

  /** How many steps were taken. */
  int step();

  /** The channels called in this step, by {@link Target#id}. */
  Set<String> tried();

  /** The same with one more channel called. */
  C rung(Target target);

  /** Names what is told in this step, by however many channels; from it calls have their keys. */
  String message();

  /** The kind of its calls. */
  Call.Kind kind();

  /** What they are about. */
  About about();
}
