// SPDX-License-Identifier: Apache-2.0
/**
 * Assesses the watch: plays simulated nights through it and through plain rules, and sets what they
 * said beside what was so. The only package that sees both the watch and the simulator; nothing in
 * the watch may come to depend on it. Delays in seconds, oxygen in mg/L, falls in (mg/L)/min.
 */
@NullMarked
package opercle.dashboard.assess;

import org.jspecify.annotations.NullMarked;
