// SPDX-License-Identifier: Apache-2.0
/** What the keeper sets up while everything runs: the farm, and which probe's topic feeds what. */
@NullMarked
package opercle.analysis.setup;

import org.jspecify.annotations.NullMarked;
