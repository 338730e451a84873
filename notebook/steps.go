package notebook

import (
	"strings"

	"chablon/unit"
)

// Step is one instruction.
type Step struct {
	Verb           string // what is done, in the present: "bake"; empty where no known verb stands there
	Text           string // the sentence as written
	Minutes        unit.Range
	HasMinutes     bool
	Temperature    unit.Temperature
	HasTemperature bool
	Assumed        bool // Minutes are not in the text but usual for the verb
}

// verbs maps the forms of a verb to its name, and the minutes that one batch of it usually takes,
// in common practice, no source. Zero minutes: nothing is assumed.
var verbs = func() map[string]verb {
	m := map[string]verb{}
	for _, v := range []struct {
		name      string
		low, high float64
		forms     string
	}{
		{"heat", 3, 8, "heat heated warm chauffer chauffez scald bring porter portez preheat prechauffer prechauffez"},
		{"boil", 1, 3, "boil simmer bouillir cook cuire cuisez reduce"},
		{"mix", 2, 5, "mix stir combine beat blend whisk work melanger melangez battre battez cream add ajouter ajoutez incorporate incorporer incorporez rub"},
		{"whip", 5, 10, "whip fouetter fouettez monter montez"},
		{"fold", 2, 4, "fold"},
		{"knead", 5, 10, "knead petrir"},
		{"sift", 2, 3, "sift tamiser tamisez"},
		{"melt", 5, 15, "melt fondre fondez faites"},
		{"bloom", 5, 15, "bloom soak soften hydrate steep infuse tremper trempez infuser"},
		{"pour", 1, 3, "pour fill verser versez couler coulez spread put place line pipe etaler etalez mettre mettez"},
		{"bake", 0, 0, "bake enfourner enfournez"},
		{"roast", 10, 20, "roast toast torrefier"},
		{"cool", 20, 60, "cool refroidir"},
		{"chill", 60, 240, "chill refrigerate"},
		{"freeze", 240, 720, "freeze congeler surgeler"},
		{"rest", 0, 0, "rest leave let stand laisser laissez prove proof"},
		{"roll", 4, 10, "roll shape"},
		{"cut", 2, 6, "cut slice chop trim peel divide"},
		{"strain", 1, 3, "strain sieve pass drain passer chinoiser"},
		{"glaze", 3, 8, "glaze coat dip brush glacer napper"},
		{"temper", 10, 20, "temper"},
		{"unmould", 2, 5, "unmould unmold demouler demoulez turn invert"},
		{"assemble", 5, 15, "assemble layer arrange"},
		{"decorate", 2, 10, "decorate garnish dust sprinkle scatter serve"},
	} {
		for f := range strings.FieldsSeq(v.forms) {
			m[f] = verb{v.name, v.low, v.high}
		}
	}
	return m
}()

type verb struct {
	name      string
	low, high float64
}

// readSteps takes a paragraph of instructions apart into sentences.
func readSteps(text string) []Step {
	var out []Step
	for _, sentence := range sentences(text) {
		if s, ok := readStep(sentence); ok {
			out = append(out, s)
		}
	}
	return out
}

// sentences parts a text after a full stop, question or exclamation mark that ends a word and is
// followed by a capital, and at semicolons.
func sentences(text string) []string {
	var out []string
	start := 0
	cut := func(end int) {
		if s := strings.TrimSpace(text[start:end]); s != "" {
			out = append(out, s)
		}
		start = end
	}
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ';':
			cut(i + 1)
		case '.', '!', '?':
			j := i + 1
			for j < len(text) && text[j] == ' ' {
				j++
			}
			if j >= len(text) || j > i+1 && (text[j] >= 'A' && text[j] <= 'Z' || text[j] >= 0x80) && i >= 3 && text[i-1] != ' ' && !isDigit(text, i-1) {
				cut(i + 1)
			} else if j > i+1 && isDigit(text, i-1) && i >= 3 && text[j] >= 'A' && text[j] <= 'Z' && text[j] != 'C' && text[j] != 'F' && i > 4 {
				cut(i + 1)
			}
		}
	}
	cut(len(text))
	return out
}

// readStep reads one sentence.
func readStep(sentence string) (Step, bool) {
	s := Step{Text: sentence}
	part := sentence
	if len(part) > longestLine {
		part = part[:longestLine]
	}
	ts := tokens(part)
	if len(ts) > 1 && ts[0].kind == aNumber && (ts[1].is(".") || ts[1].is(")")) {
		ts = ts[2:]
	}
	if len(ts) == 0 {
		return s, false
	}
	seen := false
	for k := 0; k < len(ts); k++ {
		t := ts[k]
		if t.kind == aWord && !seen {
			if v, ok := verbs[t.low]; ok {
				s.Verb, seen = v.name, true
				s.Minutes = unit.Range{Low: v.low, High: v.high}
				s.HasMinutes, s.Assumed = v.high > 0, v.high > 0
			}
		}
		if !startsNumber(ts, k) && !(articles[t.low] && tokenLow(ts, k+1) == "hour") {
			continue
		}
		low, high, ok := rangeAt(ts, k)
		if !ok {
			continue
		}
		u, next, ok := measureAt(ts, skipHyphen(ts, high.next))
		if !ok || u.class != ofNoAmount {
			k = high.next - 1
			continue
		}
		word := ts[skipHyphen(ts, high.next)].low
		switch u.symbol {
		case "time":
			minutes := minutesIn(word)
			r := unit.Range{Low: low.value * minutes, High: high.value * minutes}
			if s.HasMinutes && !s.Assumed { // "1 h 30 min"
				if minutes == 1 && joinsTime(ts, k) {
					s.Minutes.Low, s.Minutes.High = s.Minutes.Low+r.Low, s.Minutes.High+r.High
				}
			} else {
				s.Minutes, s.HasMinutes, s.Assumed = r, true, false
			}
			if word == "h" && next < len(ts) && ts[next].whole() && ts[next].value < 60 { // "1 h 30"
				if m, _, more := measureAt(ts, next+1); !more || m.symbol != "time" {
					s.Minutes.Low, s.Minutes.High = s.Minutes.Low+ts[next].value, s.Minutes.High+ts[next].value
				}
			}
		case "temperature":
			if !s.HasTemperature {
				s.Temperature, s.HasTemperature = temperatureOf(low.value, high.value, ts, next-1), true
			}
		}
		k = next - 1
	}
	return s, true
}

func joinsTime(ts []token, k int) bool {
	return k > 0 && (measureWords[ts[k-1].low] != nil && measureWords[ts[k-1].low].symbol == "time" || ts[k-1].low == "and")
}

func minutesIn(word string) float64 {
	switch {
	case strings.HasPrefix(word, "s"):
		return 1. / 60
	case strings.HasPrefix(word, "m"):
		return 1
	case strings.HasPrefix(word, "h"):
		return 60
	case strings.HasPrefix(word, "w"):
		return 7 * 24 * 60
	}
	return 24 * 60
}

// temperatureOf reads the scale after a number: degrees Fahrenheit where it says so or where a
// bare degree is above 260, hotter than ovens of the other scale go.
func temperatureOf(low, high float64, ts []token, at int) unit.Temperature {
	v := (low + high) / 2
	fahrenheit := false
	for k := at; k < len(ts) && k <= at+1; k++ {
		w := ts[k].low
		fahrenheit = fahrenheit || w == "f" || w == "°f" || w == "ºf" || w == "fahrenheit" || w == "degf" || w == "℉"
		if w == "c" || w == "celsius" || w == "℃" {
			return unit.Celsius(v)
		}
	}
	if fahrenheit || v > 260 {
		return unit.Fahrenheit(v)
	}
	return unit.Celsius(v)
}
