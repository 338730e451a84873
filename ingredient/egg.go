package ingredient

import (
	"strings"

	"chablon/unit"
)

// EggSize is one trade class of hen's egg and what it holds.
type EggSize struct {
	Name                      string // "us-large", "eu-m"
	White, Yolk, Whole, Shell unit.Mass
	Source                    string // of Whole and Shell
}

// The share of white in an egg out of its shell: 33 g of 50 g, yolk 17 g (USDA SR28 01124 and
// 01125, large). It is taken to be the same in all sizes.
const whiteShare = 33. / 50

const (
	eggsUS = "USDA SR28 01123 household measure; shell: class minimum of USDA AMS 56 less that"
	eggsEU = "nominal egg of its weight class in Regulation (EC) No 589/2008 article 4, 12 % shell as USDA SR28 01123 refuse; common practice, no source"
)

// eggSizes lists the mass out of the shell and in it, in grams. US in the shell: the least mass
// of a dozen in USDA AMS 56 over twelve.
var eggSizes = []struct {
	name           string
	whole, inShell float64
	source         string
}{
	{"us-small", 38, 42.5, eggsUS},
	{"us-medium", 44, 49.6, eggsUS},
	{"us-large", 50, 56.7, eggsUS},
	{"us-extra-large", 56, 63.8, eggsUS},
	{"us-jumbo", 63, 70.9, eggsUS},
	{"eu-s", 44, 50, eggsEU},
	{"eu-m", 51, 58, eggsEU},
	{"eu-l", 59.8, 68, eggsEU},
	{"eu-xl", 66.9, 76, eggsEU},
}

// EggSizes returns the classes, smallest first, the US ones before the European.
func EggSizes() []EggSize {
	out := make([]EggSize, len(eggSizes))
	for n, e := range eggSizes {
		whole := unit.Mass(e.whole) * unit.Gram
		out[n] = EggSize{
			Name: e.name, White: whiteShare * whole, Yolk: (1 - whiteShare) * whole, Whole: whole,
			Shell: unit.Mass(e.inShell)*unit.Gram - whole, Source: e.source,
		}
	}
	return out
}

// EggPortion returns the mass of white, yolk and both together, and of the shell, of one egg of
// the size: "us-small" to "us-jumbo", "eu-s" to "eu-xl". An egg as bought weighs whole + shell.
func EggPortion(size string) (white, yolk, whole, shell unit.Mass, ok bool) {
	want := measureKey(size)
	for _, e := range EggSizes() {
		if measureKey(e.Name) == want {
			return e.White, e.Yolk, e.Whole, e.Shell, true
		}
	}
	return 0, 0, 0, 0, false
}

// eggPortions returns the portions that an egg or its part has by size. A size without "us" or
// "eu" is the US one.
func eggPortions(part func(EggSize) unit.Mass) []Portion {
	var out []Portion
	for _, e := range EggSizes() {
		out = append(out, Portion{Measure: e.Name, Mass: part(e), Source: e.Source, SourceKind: eggKind(e.Name)})
		if bare, us := strings.CutPrefix(e.Name, "us-"); us {
			out = append(out, Portion{Measure: bare, Mass: part(e), Source: e.Source, SourceKind: eggKind(e.Name)})
		}
	}
	return out
}

// eggKind says where the figures of a size come from.
func eggKind(name string) string {
	if strings.HasPrefix(name, "us-") {
		return "published"
	}
	return "memory"
}
