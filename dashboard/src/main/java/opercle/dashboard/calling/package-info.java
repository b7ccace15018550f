// SPDX-License-Identifier: Apache-2.0
/** Calling people: mail, webhook, the thread that keeps it going, the signed link. */
@NullMarked
package opercle.dashboard.calling;

import org.jspecify.annotations.NullMarked;
