// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import java.util.Map;
import java.util.function.Supplier;
import javax.net.ssl.SSLContext;
import org.apache.activemq.artemis.core.remoting.impl.netty.TransportConstants;
import org.apache.activemq.artemis.core.remoting.impl.ssl.DefaultSSLContextFactory;
import org.apache.activemq.artemis.spi.core.remoting.ssl.SSLContextConfig;

/**
 * Lets the embedded broker use a certificate that somebody else has read; its library knows key
 * store files only. Found by the library as a service, so that it has to be public.
 */
public final class GivenCertificate extends DefaultSSLContextFactory {

  @Override
  public SSLContext getSSLContext(SSLContextConfig config, Map<String, Object> parameters)
      throws Exception {
    return parameters.get(TransportConstants.SSL_CONTEXT_PROP_NAME) instanceof Supplier<?> given
            && given.get() instanceof SSLContext context
        ? context
        : super.getSSLContext(config, parameters);
  }

  @Override
  public int getPriority() {
    return super.getPriority() + 1;
  }
}
