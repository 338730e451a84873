package formula

import (
	"fmt"

	"chablon/unit"
)

// Share is one product made from a part of a common base: the formula that takes the base, and
// how much of it is wanted, finished.
type Share struct {
	Formula *Formula
	Out     unit.Mass
}

// Division is how one base is divided: what each product takes of it, what is added to each, and
// the base to make.
type Division struct {
	Base  *Formula
	Total unit.Mass // of the finished base
	Parts []Part
}

// Part is one product's part of the base.
type Part struct {
	Product   *Formula
	Batch     Batch
	OfBase    unit.Mass // dividing weight
	Additions []ScaledLine
}

// Divide returns the dividing weights of a base among products that take it as a line. A product
// that does not take the base is an error that names both.
func Divide(base *Formula, shares []Share) (Division, error) {
	d := Division{Base: base}
	for _, s := range shares {
		b, err := s.Formula.Make(s.Out)
		if err != nil {
			return Division{}, err
		}
		p := Part{Product: s.Formula, Batch: b}
		for _, l := range b.Lines {
			if l.Formula == base {
				p.OfBase += l.Mass
			} else {
				p.Additions = append(p.Additions, l)
			}
		}
		if p.OfBase == 0 {
			return Division{}, fmt.Errorf("formula %s: does not take %s, so it has no part of it", s.Formula.ID, base.ID)
		}
		d.Total += p.OfBase
		d.Parts = append(d.Parts, p)
	}
	return d, nil
}
