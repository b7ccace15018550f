// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.nio.ByteBuffer;
import org.eclipse.jetty.http.HttpHeader;
import org.eclipse.jetty.http.HttpStatus;
import org.eclipse.jetty.server.Request;
import org.eclipse.jetty.server.Response;
import org.eclipse.jetty.server.handler.ErrorHandler;
import org.eclipse.jetty.util.Callback;
import org.jspecify.annotations.Nullable;

/**
 * What the container itself refuses, before or beside the routes, as a {@link Problem} too: a
 * request that is no HTTP, a header that is too long, a method that an address does not know.
 */
final class ProblemErrors extends ErrorHandler {

  @Override
  public boolean errorPageForMethod(String method) {
    return true;
  }

  @Override
  protected void generateResponse(
      Request request,
      Response response,
      int code,
      @Nullable String message,
      @Nullable Throwable cause,
      Callback callback) {
    Problem problem = problem(code);
    boolean isPage =
        RefusedPage.isWanted(
            request.getHttpURI() == null ? "" : String.valueOf(request.getHttpURI().getPath()),
            request.getHeaders().get(HttpHeader.ACCEPT));
    response
        .getHeaders()
        .put(HttpHeader.CONTENT_TYPE, isPage ? RefusedPage.CONTENT_TYPE : Problem.CONTENT_TYPE);
    response.write(
        true, ByteBuffer.wrap(isPage ? RefusedPage.html(problem) : problem.json()), callback);
  }

  private static Problem problem(int status) {
    return switch (status) {
      case 400 -> Problem.badRequest("The request could not be read.");
      case 404 -> Problem.notFound("There is nothing at this address.");
      case 405 -> Problem.notAllowed("This address does not take that method.");
      case 500 -> Problem.failed();
      default -> Problem.other(status, HttpStatus.getMessage(status));
    };
  }
}
