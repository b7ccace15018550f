// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.time.Instant;
import java.util.List;
import java.util.OptionalLong;
import java.util.function.UnaryOperator;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.ingest.settings.UnusableInputException;

/** Where the farm in force is looked at and changed, here or in another process. For any thread. */
public interface FarmDoor {

  /** The version in force. */
  FarmVersion version();

  /** The newest versions, newest first; the one in force alone where the others are not known. */
  List<FarmVersion> history(int most);

  /**
   * Changes the farm. When this returns the change is in the farm book and the watch has it.
   *
   * @param basedOn the version that whoever changes it has seen; empty where the change is right
   *     whatever the farm is now
   * @param by who; not blank
   * @param change gives the farm as it is to be; what it throws is thrown on, and nothing is done
   * @return the version in force now; the same as before where nothing was different
   * @throws RefusedActException if another version is in force by now, or the farm's name is other
   * @throws UnusableInputException if the farm cannot be as it would be, with all that is wrong
   */
  default FarmVersion change(OptionalLong basedOn, String by, UnaryOperator<Farm> change) {
    return change(basedOn, by, change, () -> {});
  }

  /**
   * The same together with what else is written in the farm book because of it: both or neither.
   *
   * @param with writes to the same book, on the calling thread; not run where nothing is different
   */
  FarmVersion change(OptionalLong basedOn, String by, UnaryOperator<Farm> change, Runnable with);

  /**
   * Changes the farm by fish that are put into a tank, and keeps since when they are there: they
   * may join others that are there for longer.
   *
   * @throws RefusedActException as above, and if it is said of a time before 1970 or to come
   */
  FarmVersion putIn(OptionalLong basedOn, String by, UnaryOperator<Farm> change, PutIn fish);

  /**
   * Fish of one kind that are put into a tank.
   *
   * @param tank the tank's id
   * @param since when they went in
   */
  record PutIn(String tank, Instant since) {}
}
