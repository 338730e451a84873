package web

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"chablon/unit"
)

// inquiry is a form of several questions that changes nothing, one of those on a page. Its fields hold what was
// typed, and each what is wrong with it.
type inquiry struct {
	ID, Title string
	Fields    []inquiryField
	Problem   string // what is wrong with them together
	Open      bool   // it is the one that was asked
	Live      bool   // asked anew whenever a field is left changed
}

// inquiryField is one question of an inquiry.
type inquiryField struct {
	Name, Label, Value, Hint string
	Wrong                    string // what is wrong with what was typed
	Choices                  []pick // a select where there are any
	Check                    bool
	Long                     bool // a field for a list
	Optional                 bool // may be left empty
	Row                      bool // begins a row
}

// pick is one of the answers that a field offers.
type pick struct{ Value, Text string }

// asks reports whether the address asks this inquiry, and takes its answers over. The questions backwards from
// what there is are named by ask, all others by case.
func (c *inquiry) asks(q url.Values) bool {
	if c.ID != cmp.Or(q.Get("case"), q.Get("ask")) {
		return false
	}
	c.take(q)
	return true
}

// take takes the answers of an address over.
func (c *inquiry) take(q url.Values) {
	c.Open = true
	for i, field := range c.Fields {
		if q.Has(field.Name) || field.Check {
			c.Fields[i].Value = strings.TrimSpace(q.Get(field.Name))
		}
	}
}

func (c *inquiry) field(name string) *inquiryField {
	i := slices.IndexFunc(c.Fields, func(f inquiryField) bool { return f.Name == name })
	if i < 0 {
		return nil
	}
	return &c.Fields[i]
}

// get returns what a field holds: of choices the first, if none was made.
func (c *inquiry) get(name string) string {
	f := c.field(name)
	switch {
	case f == nil:
		return ""
	case f.Value == "" && len(f.Choices) > 0:
		return f.Choices[0].Value
	}
	return f.Value
}

// wrong says what is wrong with a field; the first word stays.
func (c *inquiry) wrong(name string, err error) {
	if f := c.field(name); f != nil && f.Wrong == "" {
		f.Wrong = sentenceOf(inWords(err))
	}
}

// fail says what is wrong with the answers together, if each of them could be read.
func (c *inquiry) fail(err error) {
	if !c.refused() {
		c.Problem = sentenceOf(inWords(err))
	}
}

// refused reports whether something is wrong.
func (c *inquiry) refused() bool {
	return c.Problem != "" || slices.ContainsFunc(c.Fields, func(f inquiryField) bool { return f.Wrong != "" })
}

// firstWrong returns what is wrong, of the fields or else of them together.
func (c *inquiry) firstWrong() string {
	for _, f := range c.Fields {
		if f.Wrong != "" {
			return f.Wrong
		}
	}
	return c.Problem
}

// quantity reads a field; symbol is the unit of a bare number, "" if it must be written. A field that may be
// empty and is gives the zero quantity.
func (c *inquiry) quantity(name, symbol string, dims ...unit.Dimension) unit.Quantity {
	text := c.get(name)
	if f := c.field(name); text == "" && f != nil && f.Optional {
		return unit.Quantity{}
	}
	text = withUnit(text, unit.Quantity{}, symbol)
	q, err := unit.ParseQuantity(text, dims...)
	if err != nil {
		c.wrong(name, err)
		return unit.Quantity{}
	}
	if f := c.field(name); f != nil {
		f.Value = text // shown as it was understood
	}
	return q
}

func (c *inquiry) mass(name string) unit.Mass { return c.quantity(name, "", unit.OfMass).Mass() }

func (c *inquiry) length(name string) unit.Length {
	return c.quantity(name, "mm", unit.OfLength).Length()
}

func (c *inquiry) degrees(name string) unit.Temperature {
	return c.quantity(name, "°C", unit.OfTemperature).Temperature()
}

func (c *inquiry) minutes(name string) time.Duration {
	return c.quantity(name, "min", unit.OfTime).Duration()
}

func (c *inquiry) hours(name string) time.Duration {
	return c.quantity(name, "h", unit.OfTime).Duration()
}

func (c *inquiry) number(name string) float64 {
	x, err := strconv.ParseFloat(strings.Replace(c.get(name), ",", ".", 1), 64)
	if err != nil {
		c.wrong(name, fmt.Errorf("%q is not a number", clip(c.get(name))))
	}
	return x
}

// sending returns the attributes of the inquiry's form.
func (c *inquiry) sending(address string) templ.Attributes {
	if !c.Live {
		return nil
	}
	return ask(address)
}
