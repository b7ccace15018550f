/**
 * What Opercle tells other programs: tank states and alarm events as JSON, and the MQTT topics they
 * go to. Units stand in the keys.
 */
@NullMarked
package opercle.analysis.publish;

import org.jspecify.annotations.NullMarked;
