// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.io.IOException;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.FarmBook;

/**
 * A desk, a push service and a device, all on this machine, for tests of pages. A browser under
 * test cannot reach its maker's push service: {@link #browserThatSubscribes} stands in for that one
 * call.
 */
public final class PushTestDesk implements AutoCloseable {

  private final FakePushService service = new FakePushService();
  private final FakeDevice device = new FakeDevice();
  private final FarmBook book;
  private final PushDesk desk;

  public PushTestDesk(Path folder) throws IOException {
    book = FarmBook.open(FarmBook.fileIn(folder));
    desk =
        new PushDesk(
            "Sallowmere",
            PushKeys.in(folder, Optional.empty()),
            EndpointRule.loopbackToo(),
            new BookedSubscriptions(book),
            InstantSource.system());
  }

  public PushDesk desk() {
    return desk;
  }

  /** Has the device ask for notices. */
  public void subscribe(String person) {
    PushSubscription own = device.at(service.endpoint("phone"));
    desk.subscribe(own.endpoint().toString(), own.p256dh(), own.auth(), person);
  }

  /** What a device sends that asks for notices, by the names of its fields in angle brackets. */
  public Map<String, String> asksForNotices() {
    PushSubscription own = device.at(service.endpoint("phone"));
    return Map.of(
        "<endpoint>", own.endpoint().toString(), "<p256dh>", own.p256dh(), "<auth>", own.auth());
  }

  /** Whose devices are called. */
  public List<String> people() {
    return desk.devices().stream().map(PushSubscription::person).toList();
  }

  public int arrived() {
    return service.received().size();
  }

  /** The last message, as the device reads it. */
  public String lastRead() throws GeneralSecurityException {
    return device.read(service.received().get(arrived() - 1).body());
  }

  /** A script that has the browser subscribe at our push service, with our device's keys. */
  public String browserThatSubscribes() {
    PushSubscription own = device.at(service.endpoint("phone"));
    return """
        window.subscribedWith = '';
        let kept = null;
        const mine = {
          endpoint: '%s',
          toJSON: () => ({endpoint: '%s', keys: {p256dh: '%s', auth: '%s'}}),
          unsubscribe: async () => { kept = null; return true; },
        };
        PushManager.prototype.subscribe = async ({applicationServerKey}) => {
          window.subscribedWith = btoa(String.fromCharCode(...applicationServerKey))
            .replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
          kept = mine;
          return mine;
        };
        PushManager.prototype.getSubscription = async () => kept;
        """
        .formatted(own.endpoint(), own.endpoint(), own.p256dh(), own.auth());
  }

  @Override
  public void close() {
    service.close();
    book.close();
  }
}
