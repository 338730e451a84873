package material

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Overrun is the gain in volume by whipping: 1 doubles it (100 %).
type Overrun float64

// mostOverrun is above the lightest of kitchen foams, egg white at eight times its volume.
const mostOverrun Overrun = 20

func (o Overrun) check() error {
	if !(o >= 0 && o <= mostOverrun) {
		return fmt.Errorf("overrun %g %%: must lie between 0 and %g %%", 100*float64(o), 100*float64(mostOverrun))
	}
	return nil
}

// AirFraction returns the part of the volume that is air, o/(1+o).
func (o Overrun) AirFraction() (float64, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	return float64(o / (1 + o)), nil
}

// Density returns the density of the foam of a liquid, d/(1+o).
func (o Overrun) Density(liquid unit.Density) (unit.Density, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	if !liquid.Known() {
		return 0, fmt.Errorf("density of the liquid %g kg/m3: give one above 0", float64(liquid))
	}
	return liquid / unit.Density(1+o), nil
}

// OverrunOfAir returns the overrun of a foam of which air takes the fraction phi of the volume,
// phi/(1-phi). phi must lie between 0 and 0.95.
func OverrunOfAir(phi float64) (Overrun, error) {
	if !(phi >= 0 && phi <= 0.95) {
		return 0, fmt.Errorf("air fraction %g: must lie between 0 and 0.95 of the volume", phi)
	}
	return Overrun(phi / (1 - phi)), nil
}

// OverrunByMass returns the overrun from two weighings of one cup, full of liquid and full of foam,
// without the cup: (liquid - foam)/foam. Both must be above 0 and the foam not the heavier.
func OverrunByMass(liquid, foam unit.Mass) (Overrun, error) {
	return overrunOf(float64(liquid), float64(foam), "mass of the cup of foam", "mass of the cup of liquid")
}

// OverrunByVolume returns the overrun from the volume before and after whipping, no less after.
func OverrunByVolume(before, after unit.Volume) (Overrun, error) {
	return overrunOf(float64(after), float64(before), "volume before whipping", "volume after")
}

// OverrunOfDensity returns the overrun of a foam from its density and that of its liquid.
func OverrunOfDensity(liquid, foam unit.Density) (Overrun, error) {
	return overrunOf(float64(liquid), float64(foam), "density of the foam", "density of the liquid")
}

// overrunOf is large/small - 1.
func overrunOf(large, small float64, smallName, largeName string) (Overrun, error) {
	if !(small > 0 && !math.IsInf(large, 0) && large >= small) {
		return 0, fmt.Errorf("%s %g, %s %g: both must be above 0, the first not the larger; measure again", smallName, small, largeName, large)
	}
	o := Overrun(large/small - 1)
	return o, o.check()
}

// SpecificGravity returns the mass of a cup of food over that of the same cup of water, both
// without the cup and above 0.
func SpecificGravity(food, water unit.Mass) (float64, error) {
	sg := float64(food / water)
	if !(food > 0 && water > 0 && sg < 10) {
		return 0, fmt.Errorf("a cup of %g g of food and %g g of water: weigh both full, without the cup", food.Grams(), water.Grams())
	}
	return sg, nil
}

// Fold is one of the parts that are folded together.
type Fold struct {
	Mass    unit.Mass
	Density unit.Density // with its air
	Liquid  unit.Density // of the same part without air; 0: no air in it
}

// Folded returns the density of parts folded together, by additive volumes, when lost of the air
// in them (0 to 1) goes: sum(m) / sum(V_liquid + (1-lost) V_air). In practice 0.05 to 0.15 of the
// air is lost (common practice, no source). Parts of mass 0 count for nothing; there must be one
// with mass.
func Folded(lost float64, parts ...Fold) (unit.Density, error) {
	if !(lost >= 0 && lost <= 1) {
		return 0, fmt.Errorf("air lost by folding %g: must lie between 0 and 1", lost)
	}
	var mass unit.Mass
	var volume unit.Volume
	for i, p := range parts {
		if p.Mass == 0 {
			continue
		}
		liquid := p.Liquid
		if liquid == 0 {
			liquid = p.Density
		}
		if !(p.Mass > 0 && p.Mass < 1e9) || !p.Density.Known() || !liquid.Known() || liquid < p.Density {
			return 0, fmt.Errorf("part %d to fold: %g g at %g kg/m3, %g without air: give a mass and densities above 0, the foam not the heavier", i+1, p.Mass.Grams(), float64(p.Density), float64(p.Liquid))
		}
		still := liquid.Volume(p.Mass)
		mass += p.Mass
		volume += still + unit.Volume(1-lost)*(p.Density.Volume(p.Mass)-still)
	}
	if mass <= 0 {
		return 0, fmt.Errorf("nothing to fold: give a mass")
	}
	return unit.DensityOf(mass, volume), nil
}

// Cup is what the weighing of a full cup says of a mousse or batter.
type Cup struct {
	Density unit.Density
	Gravity float64 // over water at 20 degC
	Overrun Overrun
	Air     float64 // volume fraction
}

// CupCheck weighs a cup of known volume full of foam: mass without the cup. liquid is the density
// of the same mix without air; 0 leaves overrun and air at 0. The density is as good as the
// filling: tap out hollows, strike it level; 3 % is usual (our estimate).
func CupCheck(mass unit.Mass, volume unit.Volume, liquid unit.Density) (Cup, error) {
	if !(mass > 0 && volume > 0 && mass < 1e6 && volume < 1e3) {
		return Cup{}, fmt.Errorf("a cup of %g ml that holds %g g: give both above 0", volume.Millilitres(), mass.Grams())
	}
	d := unit.DensityOf(mass, volume)
	if d < 10 || d > 3000 {
		return Cup{}, fmt.Errorf("a cup of %g ml that holds %g g has %.4g kg/m3, which no food has: check the volume and the scale", volume.Millilitres(), mass.Grams(), float64(d))
	}
	c := Cup{Density: d, Gravity: float64(d) / referenceWater}
	if liquid == 0 {
		return c, nil
	}
	var err error
	if c.Overrun, err = OverrunOfDensity(liquid, d); err != nil {
		return Cup{}, err
	}
	c.Air, err = c.Overrun.AirFraction()
	return c, err
}
