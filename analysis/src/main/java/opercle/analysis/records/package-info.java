// SPDX-License-Identifier: Apache-2.0

/**
 * Which fish went from where to where, under which consent and which health check. It helps to keep
 * records: it prompts and gives no legal advice. Pure: no clock, no disk.
 */
@NullMarked
package opercle.analysis.records;

import org.jspecify.annotations.NullMarked;
