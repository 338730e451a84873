package material

import (
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Medium is an egg product with the heat resistance of Salmonella in it.
type Medium struct {
	Name   string
	D60    time.Duration // at 60 degC: time that kills nine tenths
	Z      unit.TempDiff // rise that makes it ten times as fast
	Source string
}

// media: D at 60 degC and z, as the cited works give them.
var media = [...]Medium{
	medium("whole egg", 0.27, 4.6, garibaldi),
	medium("whole egg with 10 % sucrose", 0.60, 4.6, garibaldi),
	medium("yolk", 0.40, 4.6, garibaldi),
	medium("yolk with 10 % sucrose", 4.0, 4.6, garibaldi),
	medium("yolk with 10 % salt", 5.1, 4.6, garibaldi),
	medium("fortified whole egg", 1.0, 4.6, garibaldi),
	medium("yolk, heat-resistant serovars", 0.69, 4.7, "composite model of four strains, measured from 58 to 66 degC"),
}

const garibaldi = "Garibaldi, Straka & Ijichi 1969, Salmonella typhimurium Tm-1"

func medium(name string, minutes float64, z unit.TempDiff, source string) Medium {
	return Medium{name, time.Duration(minutes * float64(time.Minute)), z, source}
}

// Media lists the media. Sources differ 2.5-fold on plain yolk: take the heat-resistant serovars for
// it, and yolk with 10 % sucrose from 10 % of sugar up. Listeria is hardier in salted or sugared yolk.
func Media() []Medium { return append([]Medium(nil), media[:]...) }

// MediumNamed returns the medium of that name: "yolk with 10 % sucrose".
func MediumNamed(name string) (Medium, bool) {
	for _, m := range media {
		if m.Name == name {
			return m, true
		}
	}
	return Medium{}, false
}

// The reference temperature of D60 and how far from it D is used: beyond that the straight line of
// log D over temperature is a guess.
const (
	lethalReference = 60.0
	lethalReach     = 10.0
)

// D returns how long nine tenths of the bacteria take to die at t, D60 10^((60-t)/z), for t of 50 to
// 70 degC. Outside it returns an error.
func (m Medium) D(t unit.Temperature) (time.Duration, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if math.Abs(t.Celsius()-lethalReference) > lethalReach || math.IsNaN(float64(t)) {
		return 0, fmt.Errorf("D of %s at %g degC: given from 50 to 70; do not go on beyond 10 K from the measurements", m.Name, t.Celsius())
	}
	return time.Duration(math.Round(float64(m.D60) * math.Pow(10, (lethalReference-t.Celsius())/m.Z.Kelvins()))), nil
}

func (m Medium) check() error {
	if m.D60 <= 0 || !(m.Z > 0 && !math.IsInf(float64(m.Z), 0)) {
		return fmt.Errorf("medium %q: D60 %v and z %g K: both must be above 0", m.Name, m.D60, m.Z.Kelvins())
	}
	return nil
}

// rate is the log reduction in a minute at t degC.
func (m Medium) rate(t float64) float64 {
	return math.Pow(10, (t-lethalReference)/m.Z.Kelvins()) / m.D60.Minutes()
}

// Lethality returns the log reduction of the bacteria over a temperature record, the integral of
// dt/D(T): 5 means that one in a hundred thousand is left. Below 50 degC nothing is credited, above
// 70 no more than at 70. It holds for the medium at the slowest point, well mixed with no lumps or
// dry rims, and does not declare a food safe. The record must be valid; a single reading gives 0.
//
// With straight lines between readings the integral is exact.
func (m Medium) Lethality(h History) (float64, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if err := h.Validate(); err != nil {
		return 0, err
	}
	sum := 0.0
	for i := 1; i < len(h); i++ {
		sum += m.between(h[i-1].Temperature.Celsius(), h[i].Temperature.Celsius(), (h[i].At - h[i-1].At).Minutes())
	}
	return sum, nil
}

// between returns the log reduction while the temperature moves straight from a to b in minutes.
func (m Medium) between(a, b, minutes float64) float64 {
	const low, high = lethalReference - lethalReach, lethalReference + lethalReach
	if a > b {
		a, b = b, a
	}
	if a == b {
		if a < low {
			return 0
		}
		return minutes * m.rate(math.Min(a, high))
	}
	per := minutes / (b - a) // minutes for a kelvin
	sum := math.Max(0, b-math.Max(a, high)) * per * m.rate(high)
	from, to := math.Max(a, low), math.Min(b, high)
	if to <= from {
		return sum
	}
	// The rate grows as 10^(T/z): its integral over T is z/ln 10 times its rise. Over a rise too
	// small for that difference, the rate in the middle.
	if to-from < 1e-6 {
		return sum + (to-from)*per*m.rate((from+to)/2)
	}
	return sum + per*m.Z.Kelvins()/math.Ln10*(m.rate(to)-m.rate(from))
}

// Pasteurised is the log reduction of Salmonella, as Medium.Lethality counts it, that pasteurising egg is held
// to here. No text on record names it: 9 CFR 590.570 since 2020 and the FDA Food Code 2022 leave the process to
// its maker. 5 is common practice, no source; by the D above, 3.5 minutes of Table I (see EggProducts) make 13
// of whole egg and 3.6 of yolk with 10 % salt.
const Pasteurised = 5.0

// EggProduct is a liquid egg product with the temperatures at which plants in the United States
// pasteurised it (9 CFR 590.570 Table I, bib:cfr-9-590-570, before the change of 2020).
type EggProduct struct {
	Name  string
	Short unit.Temperature // least, held 3.5 minutes
	Long  unit.Temperature // least, held 6.2 minutes
	Known bool             // whether there is a temperature for 6.2 minutes
}

// The two holding times of the table, time.Duration.
const (
	ShortHold = 210 * time.Second // 3.5 min
	LongHold  = 372 * time.Second // 6.2 min
)

// EggProducts lists the table. The kitchen has no plant: use it as the measure of pasteurised egg
// that is bought, or of a bath that is stirred and probed.
func EggProducts() []EggProduct {
	f := unit.Fahrenheit
	return []EggProduct{
		{"albumen without chemicals", f(134), f(132), true},
		{"whole egg", f(140), 0, false},
		{"whole egg blend, less than 2 % added", f(142), f(140), true},
		{"fortified whole egg, 24 to 38 % solids, 2 to 12 % added", f(144), f(142), true},
		{"salt whole egg, 2 % salt or more", f(146), f(144), true},
		{"sugar whole egg, 2 to 12 % sugar", f(142), f(140), true},
		{"plain yolk", f(142), f(140), true},
		{"sugar yolk, 2 % sugar or more", f(146), f(144), true},
		{"salt yolk, 2 to 12 % salt", f(146), f(144), true},
	}
}
