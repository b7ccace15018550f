// SPDX-License-Identifier: Apache-2.0

/**
 * What builds up in a holding tank over days, and what to do about it: days held, density, ammonia,
 * carbon dioxide, salt, water changes. mg/L, g/kg, kg, litres; ammonia as nitrogen unless NH₃ is
 * said. Pure: no clock, no disk.
 */
@NullMarked
package opercle.analysis.holding;

import org.jspecify.annotations.NullMarked;
