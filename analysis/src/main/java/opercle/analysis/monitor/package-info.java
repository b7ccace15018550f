// SPDX-License-Identifier: Apache-2.0
/** Who watches the monitor: its own troubles, and whether its outside heartbeat may go. Pure. */
@NullMarked
package opercle.analysis.monitor;

import org.jspecify.annotations.NullMarked;
