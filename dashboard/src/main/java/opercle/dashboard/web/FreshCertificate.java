// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.io.IOException;
import java.nio.file.attribute.FileTime;
import java.util.List;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import org.eclipse.jetty.util.component.AbstractLifeCycle;
import org.eclipse.jetty.util.ssl.SslContextFactory;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Looks once a minute whether the certificate was written anew, and takes it without a restart.
 * Connections that are open stay. Its thread starts and stops with the server.
 */
final class FreshCertificate extends AbstractLifeCycle {

  private static final Logger LOG = LoggerFactory.getLogger(FreshCertificate.class);

  private final TlsFiles files;
  private final SslContextFactory.Server factory;
  private final ScheduledExecutorService ticker =
      Executors.newSingleThreadScheduledExecutor(
          task -> {
            var thread = new Thread(task, "opercle-certificate");
            thread.setDaemon(true);
            return thread;
          });

  private List<FileTime> taken = List.of();

  FreshCertificate(TlsFiles files, SslContextFactory.Server factory) {
    this.files = files;
    this.factory = factory;
  }

  @Override
  protected void doStart() throws Exception {
    taken = files.written();
    var unused = ticker.scheduleWithFixedDelay(this::look, 1, 1, TimeUnit.MINUTES);
  }

  @Override
  protected void doStop() {
    ticker.shutdownNow();
  }

  /** Two files are not written at once: what does not go together yet is tried again. */
  synchronized void look() {
    try {
      List<FileTime> written = files.written();
      if (written.equals(taken)) {
        return;
      }
      var fresh = files.read();
      factory.reload(f -> f.setSslContext(fresh));
      taken = written;
      LOG.info("dashboard: the certificate {} was taken anew", files.certificates());
    } catch (IOException | IllegalArgumentException e) {
      LOG.warn("dashboard: the certificate stays as it was: {}", e.getMessage());
    } catch (Exception e) { // of Jetty's signature; the old one goes on
      LOG.error("dashboard: the certificate could not be taken anew", e);
    }
  }
}
