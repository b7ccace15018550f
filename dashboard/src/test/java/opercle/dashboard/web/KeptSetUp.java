// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.MappingRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.HeardProbes;
import opercle.analysis.setup.ProbeDesk;
import opercle.ingest.payload.UnknownTopics;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** A farm that can be set up, kept in a real farm book, with probes that nobody has claimed yet. */
final class KeptSetUp implements AutoCloseable {

  private static final InstantSource CLOCK = InstantSource.fixed(FakeFarm.NIGHT);

  private final FarmBook book;
  final FarmDesk farm;
  final ProbeDesk probes;
  final HeardProbes heard = new HeardProbes();
  final UnknownTopics unknown = new UnknownTopics();
  final List<String> moves = new CopyOnWriteArrayList<>();

  private KeptSetUp(FarmBook book, Farm farm) {
    this.book = book;
    this.farm = FarmDesk.open(new FarmRecords(book), farm, "farm.yaml", CLOCK);
    this.probes = new ProbeDesk(new MappingRecords(book), this.farm, unknown, CLOCK);
  }

  static KeptSetUp in(Path folder, Farm farm) {
    KeptSetUp kept = new KeptSetUp(FarmBook.open(folder.resolve("setup.db")), farm);
    for (int i = 0; i < 5; i++) {
      kept.heard("shed/probe7/do", "8.62", i);
      kept.heard("trailer/box", "{\"o2\":9.1,\"water\":{\"degC\":12.4},\"gas\":2.5}", i);
      kept.heard("yard/door", "shut", i);
    }
    kept.heard.accept(
        List.of(
            new Reading("h1", Quantity.OXYGEN, "1", FakeFarm.NIGHT.minusSeconds(2), 9.1),
            new Reading("h1", Quantity.TEMPERATURE, "1", FakeFarm.NIGHT.minusSeconds(400), 12.4)));
    return kept;
  }

  void heard(String topic, String payload, int second) {
    unknown.heard(
        topic,
        payload.getBytes(StandardCharsets.UTF_8),
        FakeFarm.NIGHT.minusSeconds(5).plusSeconds(second));
  }

  SetUpApi api() {
    return api(false);
  }

  /** The same where people are called, too. */
  SetUpApi api(boolean calls) {
    return new SetUpApi(
        farm,
        Optional.of(probes),
        heard,
        CLOCK::instant,
        calls,
        Optional.of((move, by) -> moves.add(move.title() + ", by " + by)));
  }

  @Override
  public void close() {
    book.close();
  }
}
