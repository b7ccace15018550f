// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.alarm.RefusedActException;
import opercle.ingest.settings.UnusableInputException;

/**
 * Who is called, to be looked at and changed while everything runs. A change is in the farm book,
 * and calling goes by it, when its method returns. For any thread.
 */
public interface CalledPeople {

  /** What the keys of a person in {@link UnusableInputException} begin with. */
  String ONE_PERSON = "people[0]";

  /** Everybody with their ways, without what may be a secret; and what was changed by whom. */
  ObjectNode described();

  /** The part {@code people} of an {@code opercle.yaml}, without secrets. */
  String yaml();

  /** Whether somebody of that name is called. */
  boolean has(String name);

  /**
   * Describes a person anew, or a new one.
   *
   * @param basedOn the version that whoever changes it has seen
   * @param by who
   * @param name whom; empty: a new one
   * @param person with the keys of the configuration; in place of a file's name a webhook's {@code
   *     secret} itself, and {@code {"keep":"webhook"}} for a way that stays as it is
   * @param place when they are called, counted from 1; empty: as before, or last
   * @return the version in force now
   * @throws RefusedActException if another version is in force by now, with what it changed
   * @throws UnusableInputException with all that is wrong, below {@link #ONE_PERSON}
   */
  long describe(long basedOn, String by, Optional<String> name, JsonNode person, OptionalInt place);

  /**
   * Calls somebody no longer.
   *
   * @return the version in force now
   * @throws RefusedActException if another version is in force by now, with what it changed
   */
  long remove(long basedOn, String by, String name);
}
