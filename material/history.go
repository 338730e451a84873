package material

import (
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Reading is a temperature taken at a time, counted from the start of the record.
type Reading struct {
	At          time.Duration
	Temperature unit.Temperature
}

// History is a record of temperatures at the slowest point of a food, in order of time. Between
// readings the temperature is taken to move straight.
type History []Reading

// Validate reports what is wrong with the record: no reading, a temperature outside -40 to 150 degC
// or that is not a number, a reading not later than the one before.
func (h History) Validate() error {
	if len(h) == 0 {
		return fmt.Errorf("temperature record: no reading: enter at least one")
	}
	for i, r := range h {
		if !(r.Temperature >= thermalLowest && r.Temperature <= thermalHighest) {
			return fmt.Errorf("temperature record: reading %d is %g degC: must lie between %g and %g", i+1, r.Temperature.Celsius(), float64(thermalLowest), float64(thermalHighest))
		}
		if i > 0 && r.At <= h[i-1].At {
			return fmt.Errorf("temperature record: reading %d is at %v, not after the one before it at %v: put them in order", i+1, r.At, h[i-1].At)
		}
	}
	return nil
}

// Fall returns when the temperature last fell to limit and stayed at or below it, to the
// millisecond, and whether it did; the time of the first reading if it was never above.
func (h History) Fall(limit unit.Temperature) (time.Duration, bool) {
	if len(h) == 0 || h[len(h)-1].Temperature > limit {
		return 0, false
	}
	for i := len(h) - 2; i >= 0; i-- {
		if h[i].Temperature > limit {
			return crossing(h[i], h[i+1], limit), true
		}
	}
	return h[0].At, true
}

// crossing returns when the temperature passes limit between two readings, to the millisecond.
func crossing(a, b Reading, limit unit.Temperature) time.Duration {
	part := float64((a.Temperature - limit) / (a.Temperature - b.Temperature))
	return a.At + time.Duration(math.Round(part*float64(b.At-a.At)/1e6))*time.Millisecond
}

// Verdict says how a record stands to a rule.
type Verdict uint8

// Verdicts. Running means that the time is not over and nothing is broken yet.
const (
	Running Verdict = iota
	Pass
	Fail
)

// String returns "running", "pass" or "fail".
func (v Verdict) String() string { return [...]string{"running", "pass", "fail"}[min(v, Fail)] }

// Limits of FDA Food Code 2022 (bib:food-code-2022), sections 3-501.14 and 3-501.16.
const (
	HotHolding   unit.Temperature = 57 // or warmer
	ColdHolding  unit.Temperature = 5  // or colder
	coolingStage unit.Temperature = 21

	FirstStageLimit   = 2 * time.Hour // 57 to 21 degC
	CoolingLimit      = 6 * time.Hour // 57 to 5 degC, the first stage included
	AmbientLimit      = 4 * time.Hour // to 5 degC, made from ingredients at room temperature
	EggImmediate      = 15 * time.Second
	EggImmediateAt    = unit.Temperature(63)
	EggNotImmediate   = 17 * time.Second
	EggNotImmediateAt = unit.Temperature(68)
)

// Cooling is how the cooling of a food stands to the code.
type Cooling struct {
	Verdict Verdict
	Start   time.Duration // when the clock started
	At21    time.Duration // from the start, 0 where not yet reached
	At5     time.Duration
	Reason  string
}

// CoolingClock judges the cooling of a cooked food: 57 to 21 degC within two hours and 57 to 5 within
// six in all (FDA Food Code 2022, 3-501.14(A); local rules may differ). Exactly on the limit passes.
//
// The clock starts when the food first falls to 57 degC, or at the first reading where that is colder.
// A stage is reached when the food stays at or below its temperature to the end of the record. A
// food that is hotter than 57 throughout is Running with nothing to say. The record must be valid.
// It compares numbers; it does not declare a food safe.
func CoolingClock(h History) (Cooling, error) {
	if err := h.Validate(); err != nil {
		return Cooling{}, err
	}
	start, started := h[0].At, h[0].Temperature <= HotHolding
	for i := 1; i < len(h) && !started; i++ {
		if h[i].Temperature <= HotHolding {
			start, started = crossing(h[i-1], h[i], HotHolding), true
		}
	}
	if !started {
		return Cooling{Reason: "it is still above 57 °C: the clock has not started"}, nil
	}
	c := Cooling{Start: start}
	elapsed := h[len(h)-1].At - start
	at21, done21 := h.Fall(coolingStage)
	at5, done5 := h.Fall(ColdHolding)
	if done21 {
		c.At21 = max(0, at21-start)
	}
	if done5 {
		c.At5 = max(0, at5-start)
	}
	switch {
	case done21 && c.At21 > FirstStageLimit:
		c.Verdict, c.Reason = Fail, fmt.Sprintf("57 to 21 °C took %v; the limit is %v", c.At21, FirstStageLimit)
	case !done21 && elapsed > FirstStageLimit:
		c.Verdict, c.Reason = Fail, fmt.Sprintf("after %v it is not at 21 °C; the limit is %v", elapsed, FirstStageLimit)
	case done5 && c.At5 > CoolingLimit:
		c.Verdict, c.Reason = Fail, fmt.Sprintf("57 to 5 °C took %v; the limit is %v", c.At5, CoolingLimit)
	case !done5 && elapsed > CoolingLimit:
		c.Verdict, c.Reason = Fail, fmt.Sprintf("after %v it is not at 5 °C; the limit is %v", elapsed, CoolingLimit)
	case done5:
		c.Verdict, c.Reason = Pass, fmt.Sprintf("57 to 21 °C in %v, to 5 °C in %v", c.At21, c.At5)
	case done21:
		c.Reason = fmt.Sprintf("%v are left to reach 5 °C", CoolingLimit-elapsed)
	default:
		c.Reason = fmt.Sprintf("%v are left to reach 21 °C", FirstStageLimit-elapsed)
	}
	return c, nil
}

// AmbientClock judges the cooling of a food made from ingredients at room temperature: to 5 degC
// within four hours of the first reading (FDA Food Code 2022, 3-501.14(B)).
func AmbientClock(h History) (Cooling, error) {
	if err := h.Validate(); err != nil {
		return Cooling{}, err
	}
	c := Cooling{Start: h[0].At}
	elapsed := h[len(h)-1].At - c.Start
	if at5, done := h.Fall(ColdHolding); done {
		c.At5 = at5 - c.Start
		c.Verdict, c.Reason = Pass, fmt.Sprintf("at 5 °C in %v", c.At5)
		if c.At5 > AmbientLimit {
			c.Verdict, c.Reason = Fail, fmt.Sprintf("to 5 °C took %v; the limit is %v", c.At5, AmbientLimit)
		}
		return c, nil
	}
	if elapsed > AmbientLimit {
		c.Verdict, c.Reason = Fail, fmt.Sprintf("after %v it is not at 5 °C; the limit is %v", elapsed, AmbientLimit)
		return c, nil
	}
	c.Reason = fmt.Sprintf("%v are left to reach 5 °C", AmbientLimit-elapsed)
	return c, nil
}
