// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;

/** Topics assigned to tanks, as one service tells another. */
class TopicMessagesTest {

  private static Optional<List<TopicMapping>> read(String message) {
    return TopicMessages.read(message.getBytes(UTF_8));
  }

  @Test
  void assignedTopics_comeBackAsTheyWere() {
    TopicMapping saturation =
        new TopicMapping(
            "shed/7",
            "h1",
            Quantity.OXYGEN,
            "shed.7",
            "/o2",
            Optional.empty(),
            Optional.of("%"),
            Optional.empty());
    List<TopicMapping> both =
        List.of(saturation, TopicMapping.of("shed/8", "h2", Quantity.TEMPERATURE, ""));
    assertThat(read(TopicMessages.of(both))).contains(both);
    assertThat(read(TopicMessages.of(List.of()))).contains(List.of());
  }

  @Test
  void oneThatCannotBeUsed_isLeftOut_andTheOthersComeIn() {
    String good =
        "{\"topic\":\"shed/7\",\"pointer\":\"\",\"tank\":\"h1\",\"quantity\":\"oxygen\",\"probe\":\"1\"}";
    assertThat(
            read(
                "{\"topics\":[%s,%s,%s,%s,7]}"
                    .formatted(
                        good.replace("shed/7", "#"),
                        good.replace("shed/7", "opercle/x"),
                        good.replace("oxygen", "mood"),
                        good)))
        .hasValueSatisfying(
            topics ->
                assertThat(topics).extracting(TopicMapping::topicFilter).containsExactly("shed/7"));
  }

  @Test
  void topicsThatABrokerWouldRefuse_areLeftOut() {
    String one =
        "{\"topic\":\"shed/%s\",\"pointer\":\"\",\"tank\":\"h1\",\"quantity\":\"oxygen\",\"probe\":\"1\"}";
    for (String bad :
        List.of(
            "\\ud800",
            "\\udc00x",
            "\\ufffe",
            "\\uffff",
            "\\ufdd0",
            "\\u0000",
            "\\u009f",
            "\\u202e")) {
      assertThat(read("{\"topics\":[" + one.formatted(bad) + "]}")).as(bad).contains(List.of());
    }
    assertThat(read("{\"topics\":[" + one.formatted("\\ud83d\\udc1f é 水") + "]}"))
        .hasValueSatisfying(topics -> assertThat(topics).hasSize(1));
  }

  @Test
  void noMoreThanCanBeAssigned_areUsed() {
    List<TopicMapping> many =
        IntStream.range(0, 1_001)
            .mapToObj(i -> TopicMapping.of("shed/" + i, "h1", Quantity.OXYGEN, ""))
            .toList();
    assertThat(read(TopicMessages.of(many))).contains(many.subList(0, 1_000));
  }

  @Test
  void whatIsNoSuchMessage_changesNothing() {
    assertThat(read("{\"topics\":")).isEmpty();
    assertThat(read("{}")).isEmpty();
    assertThat(read("[]")).isEmpty();
  }
}
