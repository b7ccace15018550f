// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.util.Optional;
import opercle.analysis.calling.Call;

/**
 * A call in words, ready for a channel.
 *
 * @param farm the farm's name
 * @param call what is told, with its key, kind and alarms
 * @param subject one line for a lock screen: tank, what, minutes
 * @param body what, how long, one first action; without the link
 * @param spoken one sentence to be read out, for instance in a cab
 * @param link where the person says that they have it; empty where there is nothing to have, no
 *     public address, or the person is driving
 */
public record Message(
    String farm, Call call, String subject, String body, String spoken, Optional<URI> link) {}
