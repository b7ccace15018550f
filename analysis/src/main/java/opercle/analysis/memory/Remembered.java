// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import java.time.Instant;

/**
 * Something that was saved.
 *
 * @param at when, by the watch's clock
 * @param what it was
 */
public record Remembered<T>(Instant at, T what) {}
