// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.http.Context;
import jakarta.servlet.http.HttpServletRequest;
import java.util.Optional;
import opercle.dashboard.access.Identity;

/** Who sent a request, as the {@link Gate} found. For any thread. */
public final class Who {

  private static final String ATTRIBUTE = "opercle.who";

  static final int LONGEST_NAME = 60;

  private Who() {}

  static void put(HttpServletRequest request, Identity who) {
    request.setAttribute(ATTRIBUTE, who);
  }

  /** Who is logged in; empty where no log-in is asked for. */
  static Optional<Identity> of(HttpServletRequest request) {
    return request.getAttribute(ATTRIBUTE) instanceof Identity who
        ? Optional.of(who)
        : Optional.empty();
  }

  /** The name of whoever is logged in; empty where no log-in is asked for. */
  public static Optional<String> name(Context ctx) {
    return of(ctx.req()).map(Identity::name);
  }

  /** Whether this can be the name of a person: 1 to 60 letters on one line. */
  public static boolean isName(String name) {
    return !name.isEmpty()
        && name.length() <= LONGEST_NAME
        && name.codePoints().noneMatch(Character::isISOControl);
  }
}
