/** Fish: species, their limits and what they breathe. kg, mg/kg/h, mg/L, °C. Pure. */
@NullMarked
package opercle.analysis.stock;

import org.jspecify.annotations.NullMarked;
