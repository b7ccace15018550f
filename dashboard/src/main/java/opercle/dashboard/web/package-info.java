// SPDX-License-Identifier: Apache-2.0
/**
 * The pages, their small JSON interface and the live stream that moves them. Nothing is computed
 * here that a keeper decides by: it all comes from a {@link opercle.dashboard.web.LiveFarm} and
 * from {@link opercle.dashboard.web.Traces}. Units as everywhere: mg/L, °C, L/min at 15 °C.
 */
@NullMarked
package opercle.dashboard.web;

import org.jspecify.annotations.NullMarked;
