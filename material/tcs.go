package material

import "fmt"

// TCS says whether a food needs time and temperature control for safety.
type TCS uint8

// ProductAssessment is the zero TCS: keep the food under control unless a laboratory or the
// authority has assessed it. NonTCS needs no control.
const (
	ProductAssessment TCS = iota
	NonTCS
)

// String returns "treat as TCS" or "non-TCS".
func (v TCS) String() string {
	if v == NonTCS {
		return "non-TCS"
	}
	return "treat as TCS"
}

// HeatTreatment says which table of the code a food falls under. The zero HeatTreatment is Table B,
// the stricter.
type HeatTreatment uint8

// NotTreated covers a food not heated to destroy vegetative cells, and one heated but not packaged
// (Table B); TreatedPackaged one heated and then packaged so that nothing gets in again (Table A).
const (
	NotTreated HeatTreatment = iota
	TreatedPackaged
)

// aciditySpan is a column of a table with the highest activity at which it needs no control; beyond
// is a product assessment.
type aciditySpan struct {
	upTo      float64 // pH, included unless below
	below     bool    // upTo itself belongs to the next column
	most      float64 // activity
	mostBelow bool    // most itself is not allowed
}

// everyActivity means that the acid alone is enough.
const everyActivity = 1.0

// FDA Food Code 2022, 1-201.10(B) under "time/temperature control for safety food"
// (bib:food-code-2022), Tables A and B column by column; pH 14 is the end of the last.
var (
	tableA = []aciditySpan{
		{upTo: 4.6, most: everyActivity},
		{upTo: 5.6, most: 0.95},
		{upTo: 14, most: 0.92},
	}
	tableB = []aciditySpan{
		{upTo: 4.2, below: true, most: everyActivity},
		{upTo: 4.6, most: 0.92},
		{upTo: 5.0, most: 0.90},
		{upTo: 14, most: 0.88, mostBelow: true},
	}
)

// neverTCS is the activity at and below which no food is TCS, whatever its pH.
const neverTCS = 0.85

// Assessed returns whether a food of water activity aw (0 to 1) and pH (0 to 14) needs time and
// temperature control, by the tables of FDA Food Code 1-201.10. Boundaries are those of the code:
// "up to 0.92" includes 0.92, and Table B's first row stops short of 0.88.
//
// Compare with the upper end of a predicted activity (Activity.High) and the higher of several pH
// readings. Foods that are TCS by their kind (cut melon, sprouts, garlic in oil) are not known to
// this function. It compares numbers; the local code and a licensed professional decide. aw, pH or
// treatment outside its range gives an error.
func Assessed(aw, pH float64, h HeatTreatment) (TCS, error) {
	switch {
	case !(aw >= 0 && aw <= 1):
		return ProductAssessment, fmt.Errorf("water activity %g: must lie between 0 and 1", aw)
	case !(pH >= 0 && pH <= 14):
		return ProductAssessment, fmt.Errorf("pH %g: must lie between 0 and 14", pH)
	case h > TreatedPackaged:
		return ProductAssessment, fmt.Errorf("heat treatment %d is not known: say whether the food is heated and then packaged", uint8(h))
	case aw <= neverTCS:
		return NonTCS, nil
	}
	table := tableB
	if h == TreatedPackaged {
		table = tableA
	}
	for _, s := range table {
		if pH > s.upTo || s.below && pH == s.upTo {
			continue
		}
		if aw < s.most || !s.mostBelow && aw == s.most {
			return NonTCS, nil
		}
		return ProductAssessment, nil
	}
	return ProductAssessment, nil
}

// GrowthLimit is the water activity below which a kind of microbe does not grow.
type GrowthLimit struct {
	Name     string
	Activity float64
}

// GrowthLimits lists the limits from the driest: textbook figures from memory, unconfirmed.
func GrowthLimits() []GrowthLimit {
	return []GrowthLimit{
		{"osmophilic yeasts", 0.60},
		{"most moulds", 0.80},
		{"Staphylococcus aureus", 0.86},
		{"most yeasts", 0.88},
		{"Listeria monocytogenes", 0.92},
		{"Salmonella", 0.94},
		{"Clostridium botulinum", 0.94},
	}
}
