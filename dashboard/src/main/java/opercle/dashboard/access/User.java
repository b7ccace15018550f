// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Instant;

/** Somebody who can log in. */
public record User(String name, Role role, Instant since) {}
