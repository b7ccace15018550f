/** Gas: flow, cylinders, diffusers. L/min referred to 15 °C and 101.325 kPa, bar gauge. Pure. */
@NullMarked
package opercle.analysis.gas;

import org.jspecify.annotations.NullMarked;
