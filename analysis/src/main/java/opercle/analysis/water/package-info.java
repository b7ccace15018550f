/** Water chemistry, one class per published formula. °C, g/kg, kPa absolute, mg/L. Pure. */
@NullMarked
package opercle.analysis.water;

import org.jspecify.annotations.NullMarked;
