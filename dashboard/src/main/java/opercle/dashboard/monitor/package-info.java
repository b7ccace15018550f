// SPDX-License-Identifier: Apache-2.0
/** Who watches the monitor, in this process: looks, the local watchdog, the heartbeat outside. */
@NullMarked
package opercle.dashboard.monitor;

import org.jspecify.annotations.NullMarked;
