package rescue

import (
	"fmt"
	"math"

	"chablon/finding"
	"chablon/unit"
)

// Remedy is one way to put something right.
type Remedy struct {
	Title      string
	Possible   bool
	Why        string // why it is not possible, or what has to hold for it
	Additions  []Addition
	Total      unit.Mass // in the bowl afterwards
	Figures    []Figure
	Downstream string // what it does to the rest of the day
	Steps      []string
	Caution    string
	Source     string
}

// Addition is something to weigh in.
type Addition struct {
	Of   string
	Mass unit.Mass
}

// Figure is a figure before and after.
type Figure struct {
	Name          string
	Before, After float64
	Unit          string
}

// hotSugar is the caution of every remedy with a boiling syrup.
const hotSugar = "Boiling sugar burns deeply and sticks. Take the pot off the heat, add liquid in a thin stream at arm's length: it spits."

// impossible returns the remedy that says to make it again.
func impossible(title, why string) Remedy {
	return Remedy{Title: title, Why: why, Source: finding.CommonPractice}
}

// check returns an error unless a mass is a number above zero that a kitchen could have.
func check(what string, m unit.Mass) error {
	if !(m > 0 && m < 10_000) {
		return fmt.Errorf("%s is %v kg: give a mass above zero", what, float64(m))
	}
	return nil
}

// share returns an error unless a share lies strictly between 0 and 1.
func share(what string, x float64) error {
	if !(x > 0 && x < 1) {
		return fmt.Errorf("%s is %.4g %%: give more than 0 and less than 100", what, 100*x)
	}
	return nil
}

func percent(name string, before, after float64) Figure {
	return Figure{name, 100 * before, 100 * after, "%"}
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
