// SPDX-License-Identifier: Apache-2.0
/**
 * Notices to phones and desks through the browsers' own push services, by the open standards: RFC
 * 8030 (delivery), RFC 8291 with RFC 8188 (encryption, so that a push service reads nothing) and
 * RFC 8292 (who sends). The cryptography is a library's; what may be called, and how, is ours.
 */
@NullMarked
package opercle.dashboard.push;

import org.jspecify.annotations.NullMarked;
