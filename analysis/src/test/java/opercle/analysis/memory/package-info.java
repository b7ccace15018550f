@org.jspecify.annotations.NullMarked
package opercle.analysis.memory;
