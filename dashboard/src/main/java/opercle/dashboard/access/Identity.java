// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

/**
 * Who asks.
 *
 * @param name of the user, or what the token is for
 * @param role what they may do
 * @param isProgram whether it is a token's
 */
public record Identity(String name, Role role, boolean isProgram) {}
