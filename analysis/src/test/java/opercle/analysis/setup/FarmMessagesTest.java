// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import org.junit.jupiter.api.Test;

class FarmMessagesTest {

  private static FarmMessages.Change change(String putIn) {
    String json =
        """
        {"id": "1", "by": "Robin", "basedOn": 7, "putIn": %s, "yaml": "farm: Sallowmere\\ntanks:\\n\
        - {id: h1, kind: holding, waterLitres: 1500, supply: {gas: air, source: blower,\
         diffuser: air-stone, flowLPerMin: 45}}"}"""
            .formatted(putIn);
    return FarmMessages.change(json.getBytes(StandardCharsets.UTF_8));
  }

  @Test
  void putIn_isATankAndATime_orNotSaid() {
    assertThat(change("{\"tank\":\"h1\",\"since\":\"2026-03-14T02:11:07Z\"}").putIn())
        .contains(new FarmDoor.PutIn("h1", Instant.parse("2026-03-14T02:11:07Z")));
    assertThat(change("null").putIn()).isEmpty();
    assertThatThrownBy(() -> change("{\"tank\":\"h9\",\"since\":\"2026-03-14T02:11:07Z\"}"))
        .hasMessage("\"putIn\" must name a tank of the farm");
    assertThatThrownBy(() -> change("{\"tank\":\"h1\",\"since\":\"today\"}"))
        .hasMessage("\"putIn\" must say a time under \"since\"");
  }
}
