package material

import (
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Bromelain, the protease of raw pineapple that keeps gelatin from setting, in juice: first order,
// measured from 55 to 67 degC (bib:sriwatanapongse-2000).
const (
	bromelainA        = 1.37e50 // 1/min
	bromelainEa       = 3.26e5  // J/mol
	bromelainConstant = 8.314   // J/(mol K), as its authors took it: it is in the exponent
)

// The temperatures for which the kinetics are used: 3 K and 15 K beyond the measurements, our choice.
const coldestBromelain, hottestBromelain unit.Temperature = 52, 82

// bromelainRate is the rate constant, 1/min. Below the range it is that of 0: no credit; above it,
// that of the hot end.
func bromelainRate(t unit.Temperature) float64 {
	if t < coldestBromelain {
		return 0
	}
	t = min(t, hottestBromelain)
	return bromelainA * math.Exp(-bromelainEa/(bromelainConstant*t.Kelvin()))
}

// BromelainDTime returns how long pineapple juice must be held at t, 52 to 82 degC, to destroy nine
// tenths of its bromelain: 3.85 min at 65 degC, 0.71 min at 70. Measured from 55 to 67 degC,
// extrapolated beyond. Outside it returns an error.
func BromelainDTime(t unit.Temperature) (time.Duration, error) {
	if !(t >= coldestBromelain && t <= hottestBromelain) {
		return 0, fmt.Errorf("bromelain at %g degC: its destruction is given from %g to %g degC; the kitchen's rule is to boil the fruit", t.Celsius(), float64(coldestBromelain), float64(hottestBromelain))
	}
	return time.Duration(math.Ln10 / bromelainRate(t) * float64(time.Minute)), nil
}

// BromelainLeft returns the part of the bromelain of pineapple juice that is left after it has been
// held at t for d: 0.0015 after 2 min at 70 degC. Below 52 degC nothing is taken to be lost; above
// 82 the rate of 82 is used. It returns an error for a negative time or a temperature that is not
// a number. How little is enough to set a gel is not known to this program: the kitchen heats the
// fruit to 82 to 85 degC or boils it.
func BromelainLeft(t unit.Temperature, d time.Duration) (float64, error) {
	if math.IsNaN(float64(t)) || d < 0 {
		return 0, fmt.Errorf("bromelain held %v at %g degC: give a temperature and a time of 0 or more", d, t.Celsius())
	}
	return math.Exp(-bromelainRate(t) * d.Minutes()), nil
}

// ProteaseFruit is a fruit that keeps gelatin from setting when it is raw.
type ProteaseFruit struct {
	Name, Enzyme string
	Treatment    string // what makes it safe for gelatin
	Source       string
}

// ProteaseFruits lists them. Agar and pectin are not affected.
func ProteaseFruits() []ProteaseFruit {
	const memory = "textbook figure from memory, unconfirmed"
	return []ProteaseFruit{
		{"pineapple", "bromelain", "heat to 82 to 85 degC or boil", "bib:sriwatanapongse-2000; the temperature is common practice"},
		{"kiwi", "actinidin", "hold above 65 degC for 5 minutes", "juice extract: destroyed in less than 5 min at 60 to 65 degC; much slower inside tissue"},
		{"papaya", "papain", "hold at 85 to 90 degC for several minutes: the most stable", memory},
		{"fig", "ficin", "boil", "common practice, no source"},
		{"ginger", "zingibain", "boil", "common practice, no source"},
		{"mango", "traces of proteases", "heat if a test portion does not set", "common practice, no source"},
	}
}
