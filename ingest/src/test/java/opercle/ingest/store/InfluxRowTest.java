// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Rows of InfluxQL's answers: time, lowest, highest, sum, count. */
class InfluxRowTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "[1773453600000, 8.0, 8.0, 8.0, 1] | true",
        "[1773453600000, 0.0, 0.0, 0.0, 1] | true",
        "[1773453600000, null, 8.0, 8.0, 1] | false",
        "[1773453600000, null, null, null, 1] | false"
      })
  void rowOfAPointThatIsJustBeingWritten_isNoZero(String row, boolean isWhole) throws Exception {
    assertThat(InfluxReadings.isWhole(new ObjectMapper().readTree(row))).isEqualTo(isWhole);
  }
}
