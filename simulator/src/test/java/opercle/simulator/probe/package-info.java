@org.jspecify.annotations.NullMarked
package opercle.simulator.probe;
