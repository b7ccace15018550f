// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

/**
 * Which alarm: a tank has at most one of each cause.
 *
 * @param tank the tank's id
 * @param cause what it is about
 */
public record AlarmId(String tank, AlarmCause cause) {}
