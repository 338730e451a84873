// Package unit holds the quantities of the bench as distinct types: a mass is not a volume
// and a temperature is not a difference of temperatures.
//
// Every value is held in its SI base unit and converted at the edges only. Constants are the
// units, so that a literal reads as it is spoken:
//
//	unit.Mass(250 * unit.Gram)
//	unit.Length(45 * unit.Millimetre)
//	unit.Celsius(180)
//
// A Quantity is what a cook wrote ("1 3/4 oz"): the number as a range, the unit, and the text
// itself. It is parsed strictly and converted when it is read; volumes become masses only
// through a Density.
//
// Conversion factors are the exact ones of NIST Special Publication 811 (2008) appendix B and
// NIST Handbook 44 appendix C.
package unit
