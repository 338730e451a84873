package web

import (
	"cmp"
	"net/http"
	"strings"
	"time"
	"unicode"

	"chablon/document"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/notebook"
	"chablon/unit"
)

// saveReading stores the formula as a new document and returns its ID; "" if something is
// missing, which the outcome then says.
func (s *Server) saveReading(r *http.Request, st *state, v *reading) (id string, err error) {
	if v.Name == "" {
		v.fieldError("name", "Write what the formula is called.")
		return "", nil
	}
	if len(v.Lines) == 0 {
		v.formError(http.StatusUnprocessableEntity, "The formula has no line left. Paste the text again.")
		return "", nil
	}
	d := v.document(st)
	made, err := s.create(r.Context(), d, v.outcome)
	if !made {
		return "", err
	}
	return d.ID, nil
}

// document returns the formula as it will be stored. Lines that are not understood keep their
// words; the documents report them until they are put right. The text as it stood in the
// notebook stays in the notes.
func (v *reading) document(st *state) *document.Formula {
	d := &document.Formula{Type: v.Type}
	d.Kind, d.ID, d.Schema, d.Name = "formula", st.freeID("formula", v.Name), document.SchemaVersion, v.Name
	d.Notes = strings.TrimSpace(strings.Join(v.Notes, "\n") + "\n\n" + asItStood + "\n" + strings.TrimSpace(v.Text))
	for _, l := range v.Lines {
		line := document.Line{Text: l.Text, Optional: l.Optional, ToTaste: l.ToTaste}
		if l.Of != "" && st.called(l.Of) != "" && !st.byName(l.Text, l.Of, "") {
			line.Of = document.Ref(l.Of)
		}
		if l.Group == "" && len(d.Groups) == 0 {
			d.Lines = append(d.Lines, line)
			continue
		}
		if n := len(d.Groups); n == 0 || d.Groups[n-1].Name != cmp.Or(l.Group, "further lines") {
			d.Groups = append(d.Groups, document.Group{Name: cmp.Or(l.Group, "further lines")})
		}
		g := &d.Groups[len(d.Groups)-1]
		g.Lines = append(g.Lines, line)
	}
	used := map[string]int{}
	for _, step := range v.Steps {
		d.Steps = append(d.Steps, stepDocument(step, used, v.kitchen))
	}
	return d
}

const asItStood = "As it stood in the notebook:"

// handsOff are the verbs whose time passes without hands.
var handsOff = map[string]bool{"bake": true, "cool": true, "chill": true, "freeze": true, "rest": true, "bloom": true, "thaw": true, "roast": true}

// stepDocument makes a step of an instruction. A time that the text does not say is left out, for
// the engine to assume by the verb.
func stepDocument(s notebook.Step, used map[string]int, k *kitchen.Kitchen) document.Step {
	out := document.Step{Verb: cmp.Or(s.Verb, "prepare"), Text: s.Text}
	used[out.Verb]++
	out.ID = out.Verb
	if n := used[out.Verb]; n > 1 {
		out.ID += "-" + number(n)
	}
	if s.HasMinutes && !s.Assumed && s.Minutes.High > 0 {
		f := document.Figure{Value: minutes(s.Minutes.Mid())}
		if s.Minutes.High > s.Minutes.Low {
			f.Low, f.High = minutes(s.Minutes.Low), minutes(s.Minutes.High)
		}
		if handsOff[out.Verb] {
			out.Waiting = f
			out.Active.Fixed = document.Figure{Value: minutes(float64(usualHands(out.Verb)) / float64(time.Minute))}
		} else {
			out.Active.Fixed = f
		}
	}
	if s.HasTemperature {
		t := unit.Of(float64(s.Temperature), degrees)
		if len(k.Find("oven")) > 0 && (out.Verb == "bake" || out.Verb == "roast") {
			out.Modes = []document.Mode{{Equipment: []string{"oven"}, Setting: t}}
		} else {
			out.Temperature = t
		}
	}
	return out
}

var degrees, _ = unit.ParseUnit("°C")

// usualHands is the time with hands that a verb usually takes.
func usualHands(verb string) time.Duration {
	return formula.Step{Verb: verb}.WithAssumedTime().Active.Fixed
}

func minutes(n float64) unit.Quantity {
	q, err := unit.ParseQuantity(plainNumber(n)+" min", unit.OfTime)
	if err != nil {
		return unit.Quantity{}
	}
	return q
}

// freeID makes an ID of a name, that no document of the kind has.
func (st *state) freeID(kind, name string) string {
	return freeAmong(name, kind, func(id string) bool { return id == "new" || st.set.Get(kind, id) != nil }) // "new" is a page
}

// freeAmong makes an ID of a name, that is not taken yet; of fallback if nothing of the name can
// stand in one.
func freeAmong(name, fallback string, taken func(id string) bool) string {
	var b strings.Builder
	for _, r := range strings.ToLower(unaccented.Replace(name)) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case unicode.IsSpace(r) || unicode.IsPunct(r):
			b.WriteByte('-')
		}
	}
	words := strings.FieldsFunc(b.String(), func(r rune) bool { return r == '-' })
	stem := strings.Join(words, "-")
	if len(stem) > 48 {
		stem = strings.Trim(stem[:48], "-")
	}
	stem = cmp.Or(stem, fallback)
	id := stem
	for n := 2; taken(id); n++ {
		id = stem + "-" + number(n)
	}
	return id
}

var unaccented = strings.NewReplacer("é", "e", "è", "e", "ê", "e", "ë", "e", "â", "a", "à", "a", "ä", "a", "î", "i", "ï", "i", "ô", "o", "ö", "o",
	"û", "u", "ù", "u", "ü", "u", "ç", "c", "ñ", "n", "É", "e", "È", "e", "Ê", "e", "À", "a", "Â", "a", "Ç", "c", "œ", "oe", "ß", "ss")
