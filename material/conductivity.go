package material

import (
	"math"

	"chablon/unit"
)

// Conductivity returns how well the food passes heat on. The components except ice and air are
// taken in parallel, ice is added by Levy's equation, air last by effective medium theory, which
// suits open crumb (for foams see WithClosedCells). Sequence of Carson, Wang, North & Cleland
// 2016: right to about 10 % unfrozen and airless, 20 % frozen or with air; 0 for the zero Thermal.
//
// Above 0 degC vapour moves extra heat through a moist crumb; that is not counted.
func (x Thermal) Conductivity(t unit.Temperature) unit.Conductivity {
	at := bounded(t)
	volume, part := volumes(x.phases(t), at)
	if volume == 0 {
		return 0
	}
	ice := part[phaseIce]
	part[phaseIce] = 0
	k := 0.0
	if ice < 1 {
		k = parallel(part, at) / (1 - ice)
	}
	if ice > 0 {
		k = levy(thermalTable[phaseIce].k.at(at), k, ice)
	}
	if x.closedCells {
		return unit.Conductivity(maxwellEucken(k, airConductivity(at), x.air))
	}
	return unit.Conductivity(effectiveMedium(k, airConductivity(at), x.air))
}

// volumes returns the volume of a kilogram of the phases, m3/kg, and the part of it that each
// takes, by additive volumes.
func volumes(p [phaseCount]float64, t float64) (whole float64, part [phaseCount]float64) {
	for i, share := range p {
		part[i] = share / thermalTable[i].rho.at(t)
		whole += part[i]
	}
	if whole > 0 {
		for i := range part {
			part[i] /= whole
		}
	}
	return whole, part
}

// parallel returns the conductivity of phases that lie side by side along the flow of heat, by
// their parts of the volume: the upper bound.
func parallel(part [phaseCount]float64, t float64) float64 {
	k := 0.0
	for i, share := range part {
		k += share * thermalTable[i].k.at(t)
	}
	return k
}

// airConductivity returns the conductivity of still air, W/(m K): 0.0243 at 0 degC, 0.0257 at 20
// (handbook figures from memory), straight between and beyond; 1 % at most from tables to 100 degC.
func airConductivity(t float64) float64 { return 0.0243 + 7.1e-5*t }

// levy returns the conductivity of phase 1, a part r1 of the volume, in phase 2 (Levy 1981, as in
// ASHRAE Handbook-Refrigeration, Thermal Properties of Foods). It does not depend on which phase
// is called 1.
func levy(k1, k2, r1 float64) float64 {
	if r1 >= 1 || k1 == k2 || k2 <= 0 {
		return k1
	}
	ratio := k1 / k2
	g := (ratio - 1) * (ratio - 1) / ((ratio+1)*(ratio+1) + ratio/2)
	a := 2/g - 1 + 2*r1
	f := (a - math.Sqrt(math.Max(0, a*a-8*r1/g))) / 2
	return k2 * (2 + ratio + 2*(ratio-1)*f) / (2 + ratio - (ratio-1)*f)
}

// effectiveMedium returns the conductivity of two phases that are mixed at random, a part phi of
// the volume having kb, the rest ka (Landauer 1952).
func effectiveMedium(ka, kb, phi float64) float64 {
	a := (3*phi-1)*kb + (2-3*phi)*ka
	return (a + math.Sqrt(a*a+8*ka*kb)) / 4
}

// maxwellEucken returns the conductivity of separate inclusions of kd, a part phi of the volume,
// in a continuous phase of kc (Eucken 1940).
func maxwellEucken(kc, kd, phi float64) float64 {
	return kc * (2*kc + kd - 2*phi*(kc-kd)) / (2*kc + kd + phi*(kc-kd))
}
