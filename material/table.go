package material

import (
	"fmt"
	"math"
	"slices"

	"chablon/unit"
)

// TablePoint is a food at one temperature, as NewTable takes it.
type TablePoint struct {
	Temperature  unit.Temperature
	Enthalpy     unit.SpecificEnergy // from any zero
	Conductivity unit.Conductivity
	Ice          float64 // mass fraction, 0 to 1
}

// Table is a food ready for a solver: temperature, conductivity and ice over the heat in a cubic
// metre, straight between its points. It is made by Thermal.Table or NewTable and is not changed
// afterwards. Its density is constant, so that a cell keeps its mass when ice expands.
//
// Below its first and above its last point the temperature goes on with the slope that it has there,
// the other properties keep their value.
type Table struct {
	density unit.Density
	water   float64 // mass fraction, frozen or not
	first   unit.Temperature
	freezes bool
	nodes   []node
	low     float64 // heat of the first node, J/m3
	inverse float64 // buckets for a J/m3
	bucket  []int32 // the last node at or below the start of the bucket
}

// node is the start of a straight piece.
type node struct {
	heat                   float64 // J/m3
	t, slope               float64 // degC, K m3/J
	k, kSlope, ice, iSlope float64
	flux                   float64 // integral of conductivity over temperature, W/m
}

// Figures of a table.
const (
	tableError   = 2e-5 // of the range of heat and of conductivity, aimed at between two points
	tableSplits  = 9    // of a first piece, at most
	tableBuckets = 2048
	beyondTable  = 200 // kelvin to which the last pieces are drawn out
)

// Table returns the food as a Table of constant density, that at 4 degC, from -40 to 150 degC.
//
// Points are set where needed: halfway between two of them heat differs by at most 1e-4 of that
// between -40 and 150 degC, conductivity by 1e-4 of its range. Where
// next to nothing is dissolved the last 0.05 K below 0 degC are only as good as the steps there. It takes about a millisecond to make.
// A food without properties gives an error.
func (x Thermal) Table() (*Table, error) {
	rho := x.Density(4)
	if rho <= 0 {
		return nil, fmt.Errorf("table: the food has no properties: make it from a composition")
	}
	at := func(t float64) TablePoint {
		c := unit.Celsius(t)
		return TablePoint{c, x.Enthalpy(c), x.Conductivity(c), x.IceFraction(c)}
	}
	first, freezes := x.FreezingPoint()
	stops := []float64{float64(thermalLowest), -25, -15, 0, 25, 60, 100, float64(thermalHighest)}
	if freezes {
		// A food with hardly anything dissolved freezes within a hair: a point on either side of it.
		f := first.Celsius()
		stops = []float64{float64(thermalLowest)}
		for _, below := range []float64{20, 10, 4, 1, 0.2, 0.03, 0.004} {
			if f-below > float64(thermalLowest) {
				stops = append(stops, f-below)
			}
		}
		stops = append(stops, f)
		for _, t := range []float64{0, 25, 60, 100, float64(thermalHighest)} {
			if t > f+1e-9 {
				stops = append(stops, t)
			}
		}
	}
	points := make([]TablePoint, 0, 256)
	a := at(stops[0])
	heat := float64(at(float64(thermalHighest)).Enthalpy - a.Enthalpy)
	conductivity := math.Max(float64(a.Conductivity), float64(at(20).Conductivity))
	var split func(a, b TablePoint, left int)
	split = func(a, b TablePoint, left int) {
		m := at((a.Temperature.Celsius() + b.Temperature.Celsius()) / 2)
		off := math.Abs(float64(m.Enthalpy-(a.Enthalpy+b.Enthalpy)/2)) / heat
		off = math.Max(off, math.Abs(float64(m.Conductivity-(a.Conductivity+b.Conductivity)/2))/conductivity)
		if left > 0 && off > tableError {
			split(a, m, left-1)
			split(m, b, left-1)
			return
		}
		points = append(points, m, b)
	}
	points = append(points, a)
	for _, stop := range stops[1:] {
		b := at(stop)
		split(a, b, tableSplits)
		a = b
	}
	t, err := NewTable(rho, x.WaterFraction(), points)
	if err != nil {
		return nil, err
	}
	t.first, t.freezes = first, freezes
	return t, nil
}

// NewTable returns a table of measured or invented properties: a density, the mass fraction of water
// and at least two points, temperature, enthalpy rising from each to the next. A jump of enthalpy at
// one temperature is given as a rise over a hundredth of a kelvin or less.
//
// Errors name the point and what is wrong with it.
func NewTable(density unit.Density, water float64, points []TablePoint) (*Table, error) {
	if !density.Known() || !(water >= 0 && water <= 1) || len(points) < 2 {
		return nil, fmt.Errorf("table of density %g kg/m3, water %g, %d points: give a density above 0, water from 0 to 1 and at least two points", float64(density), water, len(points))
	}
	x := &Table{density: density, water: water}
	rho := float64(density)
	for i, p := range points {
		switch {
		case !(p.Conductivity > 0 && p.Conductivity < 1e4):
			return nil, fmt.Errorf("table: conductivity %g W/(m K) at point %d: give one above 0 and below 10000", float64(p.Conductivity), i+1)
		case !(p.Ice >= 0 && p.Ice <= water+1e-9):
			return nil, fmt.Errorf("table: ice %g at point %d: must lie between 0 and the water, %g", p.Ice, i+1, water)
		case math.IsNaN(float64(p.Temperature)) || math.IsInf(float64(p.Temperature), 0) || math.IsNaN(float64(p.Enthalpy)) || math.IsInf(float64(p.Enthalpy), 0):
			return nil, fmt.Errorf("table: point %d, %g degC and %g J/kg: both must be numbers", i+1, p.Temperature.Celsius(), float64(p.Enthalpy))
		case i > 0 && !(p.Temperature > points[i-1].Temperature && p.Enthalpy > points[i-1].Enthalpy):
			return nil, fmt.Errorf("table: point %d, %g degC and %g J/kg: temperature and enthalpy must both rise from the point before", i+1, p.Temperature.Celsius(), float64(p.Enthalpy))
		}
		x.nodes = append(x.nodes, node{heat: rho * float64(p.Enthalpy), t: p.Temperature.Celsius(), k: float64(p.Conductivity), ice: p.Ice})
		if !x.freezes && p.Ice > 0 {
			x.freezes = true
		}
		if p.Ice > 0 {
			x.first = p.Temperature
			if i+1 < len(points) {
				x.first = points[i+1].Temperature
			}
		}
	}
	x.finish()
	return x, nil
}

// finish draws the ends out, takes the slopes and fills the buckets.
func (x *Table) finish() {
	n := x.nodes
	below, above := n[0], n[len(n)-1]
	a, b := (n[1].heat-n[0].heat)/(n[1].t-n[0].t), (above.heat-n[len(n)-2].heat)/(above.t-n[len(n)-2].t)
	below.t, below.heat = below.t-beyondTable, below.heat-beyondTable*a
	above.t, above.heat = above.t+beyondTable, above.heat+beyondTable*b
	n = append(append([]node{below}, n...), above)
	for i := range n[:len(n)-1] {
		p, q := &n[i], n[i+1]
		width := q.heat - p.heat
		p.slope, p.kSlope, p.iSlope = (q.t-p.t)/width, (q.k-p.k)/width, (q.ice-p.ice)/width
		n[i+1].flux = p.flux + (q.t-p.t)*(p.k+q.k)/2
	}
	n[len(n)-1].slope = n[len(n)-2].slope
	x.nodes = n
	x.low = n[1].heat
	x.inverse = tableBuckets / (n[len(n)-2].heat - x.low)
	x.bucket = make([]int32, tableBuckets)
	i := 1
	for b := range x.bucket {
		for i+1 < len(n)-1 && n[i+1].heat <= x.low+float64(b)/x.inverse {
			i++
		}
		x.bucket[b] = int32(i)
	}
}

// piece returns the piece that holds a heat, J/m3.
func (x *Table) piece(heat float64) *node {
	at := (heat - x.low) * x.inverse
	i := 0
	switch {
	case !(at > 0):
		return &x.nodes[0]
	case at < tableBuckets:
		i = int(x.bucket[int(at)])
	default:
		i = len(x.nodes) - 2
	}
	for i+1 < len(x.nodes) && heat >= x.nodes[i+1].heat {
		i++
	}
	return &x.nodes[i]
}

// At returns the temperature, degC, at a heat in J/m3, how much it rises for a J/m3, the conductivity,
// W/(m K), and the integral of the conductivity over the temperature from any fixed one, W/m: heat flows
// between two places in the same food as if by the difference of that. It allocates nothing.
func (x *Table) At(heat float64) (t, slope, k, flux float64) {
	p := x.piece(heat)
	d := heat - p.heat
	return p.t + p.slope*d, p.slope, p.k + p.kSlope*d, p.flux + p.slope*d*(p.k+p.kSlope*d/2)
}

// Heat returns the heat in a cubic metre at a temperature, J/m3, the inverse of At.
func (x *Table) Heat(t unit.Temperature) float64 {
	low, high := 0, len(x.nodes)-1
	for high-low > 1 {
		if mid := (low + high) / 2; x.nodes[mid].t <= t.Celsius() {
			low = mid
		} else {
			high = mid
		}
	}
	p := x.nodes[low]
	return p.heat + (t.Celsius()-p.t)/p.slope
}

// Ice returns the mass fraction of ice at a heat in J/m3.
func (x *Table) Ice(heat float64) float64 {
	p := x.piece(heat)
	return p.ice + p.iSlope*(heat-p.heat)
}

// Conducting returns the food with its conductivity times a factor above 0, everything else as it is.
func (x *Table) Conducting(factor float64) *Table {
	next := *x
	next.nodes = slices.Clone(x.nodes)
	for i := range next.nodes {
		n := &next.nodes[i]
		n.k, n.kSlope, n.flux = factor*n.k, factor*n.kSlope, factor*n.flux
	}
	return &next
}

// Density returns the constant density.
func (x *Table) Density() unit.Density { return x.density }

// WaterFraction returns the mass fraction of water, frozen or not.
func (x *Table) WaterFraction() float64 { return x.water }

// FreezingPoint returns the warmest temperature with ice below it, and whether there is one.
func (x *Table) FreezingPoint() (unit.Temperature, bool) { return x.first, x.freezes }
