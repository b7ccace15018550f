// SPDX-License-Identifier: Apache-2.0
/**
 * Who may see and change what: users, their sessions, tokens of programs, and how quickly passwords
 * may be tried. Knows nothing of HTTP. Times are instants that the caller gives.
 */
@NullMarked
package opercle.dashboard.access;

import org.jspecify.annotations.NullMarked;
