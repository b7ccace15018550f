/**
 * MQTT: the one class that touches the client library, the sensor subscriber and the embedded
 * broker.
 */
@NullMarked
package opercle.ingest.mqtt;

import org.jspecify.annotations.NullMarked;
