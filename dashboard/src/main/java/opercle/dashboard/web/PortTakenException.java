// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

/** The address that the dashboard was to listen on is in use, or is not this machine's. */
public final class PortTakenException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  PortTakenException(DashboardSettings settings, Throwable cause) {
    super(
        "dashboard: cannot listen on %s port %d: another program has it, or the address is not this machine's. Choose another port."
            .formatted(settings.host(), settings.port()),
        cause);
  }
}
