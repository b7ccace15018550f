// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/**
 * The document of the addresses under {@code /api/v1} (OpenAPI 3.1), written by hand in two YAML
 * files and given out as JSON. For any thread.
 */
final class OpenApi {

  private static final ObjectMapper MAPPER = new ObjectMapper();

  private final byte[] json = Json.bytes(document());

  void routes(RoutesConfig routes) {
    routes.get(
        "/api/v1/openapi.json",
        ctx ->
            ctx.header("Cache-Control", "no-cache").contentType("application/json").result(json));
  }

  static ObjectNode document() {
    ObjectNode document = (ObjectNode) read("openapi.yaml");
    document.set("components", read("openapi-parts.yaml"));
    return document;
  }

  private static JsonNode read(String name) {
    var settings = LoadSettings.builder().setLabel(name).build();
    try (InputStream in = OpenApi.class.getResourceAsStream(name)) {
      if (in == null) {
        throw new IllegalStateException("the jar lacks " + name);
      }
      return MAPPER.valueToTree(new Load(settings).loadFromInputStream(in));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
