package heat

import (
	"math"

	"chablon/unit"
)

// Moisture of the air that settles on a cold face gives off its latent heat there. By the analogy of
// Lewis it is carried by the convection that carries heat: per kelvin of that, a part
// L 0.622 / (cp p Le^(2/3)) of the difference of vapour pressures in pascal.
const (
	airHeat     = 1005.0   // J/(kg K)
	airPressure = 101325.0 // Pa
	lewis       = 0.90     // Le to the power 2/3, of vapour in air
	vapourRatio = 0.622    // of molar masses
	frostHeat   = 2.835e6  // J/kg, vapour to ice
	dewHeat     = 2.50e6   // J/kg, vapour to water
)

// vapour returns the saturation pressure of water vapour over water, below 0 degC over ice, Pa (Magnus's
// formula with the coefficients of the World Meteorological Organization, from memory: 611 Pa at 0 degC, 813
// at 4, 260 at -10).
func vapour(t float64) float64 {
	if t < 0 {
		return 611.2 * math.Exp(22.46*t/(272.62+t))
	}
	return 611.2 * math.Exp(17.62*t/(243.12+t))
}

// DewPoint returns the temperature at which air of a temperature and relative humidity, 0 to 1, begins to
// lose moisture to a surface; below 0 degC where frost begins; -100 degC for dry air.
func DewPoint(air unit.Temperature, humidity float64) unit.Temperature {
	pressure := humidity * vapour(air.Celsius())
	if !(pressure > vapour(-100)) {
		return -100
	}
	x := math.Log(pressure / 611.2)
	if x < 0 {
		return unit.Celsius(272.62 * x / (22.46 - x))
	}
	return unit.Celsius(243.12 * x / (17.62 - x))
}

// dew returns by how much the coefficient h of air at a temperature, degC, and relative humidity grows on
// a bare face at surface, for what settles there; 0 on a face that is warmer than the dew point. The part
// of h that is radiation carries no vapour; at least a third is taken to be convection.
func dew(h, air, humidity, surface float64) float64 {
	over := humidity*vapour(air) - vapour(surface)
	if over <= 0 || surface >= air {
		return 0
	}
	heat := dewHeat
	if surface < 0 {
		heat = frostHeat
	}
	convection := math.Max(h/3, h-4.3)
	return convection * heat * vapourRatio / (airHeat * airPressure * lewis) * over / (air - surface)
}
