// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import io.prometheus.metrics.expositionformats.OpenMetricsTextFormatWriter;
import io.prometheus.metrics.instrumentation.jvm.JvmMetrics;
import io.prometheus.metrics.model.registry.PrometheusRegistry;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.util.function.IntSupplier;

/**
 * Figures for a program that watches programs: {@code /metrics}, in the OpenMetrics 1.0 text
 * format. They are read when asked for; nothing is counted beside what the parts count anyway. For
 * any thread.
 */
final class MetricsApi {

  private static final String TYPE = OpenMetricsTextFormatWriter.CONTENT_TYPE;

  private final OpenMetricsTextFormatWriter writer = OpenMetricsTextFormatWriter.create();
  private final PrometheusRegistry registry = new PrometheusRegistry();

  /**
   * @param listening how many live streams there are
   */
  MetricsApi(LiveFarm live, IntSupplier listening) {
    JvmMetrics.builder().register(registry);
    registry.register(() -> FarmMetrics.of(live, listening.getAsInt()));
  }

  void routes(RoutesConfig routes) {
    routes.get("/metrics", this::answer);
  }

  private void answer(Context ctx) throws IOException {
    var out = new ByteArrayOutputStream(16 * 1024);
    writer.write(out, registry.scrape());
    ctx.header("Cache-Control", "no-store").contentType(TYPE).result(out.toByteArray());
  }
}
