package notebook

import (
	"strings"
	"sync"
	"sync/atomic"

	"chablon/ingredient"
)

// memo remembers what names mean in one table. It is a cache: it changes no answer.
type memo struct {
	table *ingredient.Table
	mu    sync.Mutex
	named map[string]*ingredient.Ingredient
	close map[string]likely
}

// likely is the best proposal for a name that is not exact.
type likely struct {
	ing   *ingredient.Ingredient
	score float64
}

// mostRemembered bounds the names that are kept.
const mostRemembered = 20000

// lastMemo keeps the memo of the table that was used last.
var lastMemo atomic.Pointer[memo]

func memoOf(t *ingredient.Table) *memo {
	if m := lastMemo.Load(); m != nil && m.table == t {
		return m
	}
	m := &memo{table: t, named: map[string]*ingredient.Ingredient{}, close: map[string]likely{}}
	lastMemo.Store(m)
	return m
}

// find returns the ingredient of exactly that name, or nil.
func (m *memo) find(name string) *ingredient.Ingredient {
	if name == "" || len(name) > 120 {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if i, ok := m.named[name]; ok {
		return i
	}
	i, ok := m.table.Named(name)
	if !ok {
		i = nil
	}
	if len(m.named) >= mostRemembered {
		clear(m.named)
	}
	m.named[name] = i
	return i
}

// guess returns the likeliest ingredient of a name that is not exact.
func (m *memo) guess(name string) likely {
	m.mu.Lock()
	defer m.mu.Unlock()
	if g, ok := m.close[name]; ok {
		return g
	}
	var g likely
	if all := m.table.Match(name); len(all) > 0 {
		g = likely{all[0].Ingredient, all[0].Score}
	}
	if len(m.close) >= mostRemembered {
		clear(m.close)
	}
	m.close[name] = g
	return g
}

// found is what was made of the words of a name.
type found struct {
	ing    *ingredient.Ingredient
	name   string
	before string // doings before the name: "finely chopped"
	after  string // what follows the name without a comma: "at room temperature"
	sure   float64
	asked  string
}

// mostNameWords bounds the words of a name that are looked at.
const mostNameWords = 14

var leadingFiller = setOf("of de du des d' l' the la le les some en")

// resolve finds the ingredient in the words of a name and parts them from what says its state.
func (r *reader) resolve(ts []token) found {
	for len(ts) > 0 && (ts[0].kind == aMark || leadingFiller[ts[0].low] || articles[ts[0].low] && len(ts) > 1) {
		ts = ts[1:]
	}
	for len(ts) > 0 && ts[len(ts)-1].kind == aMark && !ts[len(ts)-1].is("%") && !ts[len(ts)-1].is(")") {
		ts = ts[:len(ts)-1]
	}
	if len(ts) == 0 {
		return found{}
	}
	whole := ts
	if len(ts) > mostNameWords {
		ts = ts[:mostNameWords]
	}
	end := len(ts)
	if r.find(ts) == nil {
		for k := 1; k < len(ts); k++ {
			if stopWords[ts[k].low] && ts[k].kind == aWord && !(ts[k].low == "and" || ts[k].low == "or" || ts[k].low == "en" || ts[k].low == "with" || ts[k].low == "sans") {
				end = k
				break
			}
		}
	}
	for _, e := range []int{end, r.bareEnd(ts, end), r.stopEnd(ts, end), pieceEnd(ts, end)} {
		if e <= 0 {
			continue
		}
		if f, ok := r.resolveUpTo(ts, e); ok {
			if e < len(whole) || f.after != "" {
				f.after = strings.TrimSpace(f.after + " " + written(whole[e:]))
			}
			return f
		}
	}
	return r.resolveInside(whole, ts[:end])
}

// bareEnd takes doings off the end of a name: "butter melted and cooled".
func (r *reader) bareEnd(ts []token, end int) int {
	for end > 1 && (isPreparation(ts[end-1].low) || ts[end-1].kind == aMark && !ts[end-1].is("%")) {
		end--
	}
	return end
}

// pieceEnd takes the word for a piece off the end of a name: "cinnamon stick", "mint leaves".
func pieceEnd(ts []token, end int) int {
	if end > 1 {
		if m, ok := measureWords[ts[end-1].low]; ok && m.class == ofPieces {
			return end - 1
		}
	}
	return 0
}

// stopEnd ends a name before its first joining word.
func (r *reader) stopEnd(ts []token, end int) int {
	for k := 1; k < end; k++ {
		if stopWords[ts[k].low] {
			return r.bareEnd(ts, k)
		}
	}
	return 0
}

// resolveUpTo looks for an exact name in ts[:end], leading doings taken off.
func (r *reader) resolveUpTo(ts []token, end int) (found, bool) {
	for i := 0; i < end; i++ {
		ing := r.find(ts[i:end])
		if ing == nil {
			if !isPreparation(ts[i].low) && !ts[i].is("-") && ts[i].kind != aMark {
				return found{}, false
			}
			continue
		}
		if i > 0 && (ts[i-1].low == "or" || ts[i-1].low == "ou") && isPreparation(ts[i].low) { // "fresh or frozen blueberries"
			if base := r.find(ts[i+1 : end]); base != nil {
				ing, i = base, i+1
			}
		}
		for i+1 < end && (isPreparation(ts[i].low) && !identity[ts[i].low] || ts[i].is("-") || ts[i].is(",") || ts[i].low == "eggs'") && r.find(ts[i+1:end]) == ing && !ts[i+1].is("%") {
			i++
		}
		last := end
		for last-1 > i && (isPreparation(ts[last-1].low) && !identity[ts[last-1].low] || ts[last-1].is("-")) && r.find(ts[i:last-1]) == ing {
			last--
		}
		return found{ing: ing, name: strings.TrimLeft(written(ts[i:last]), " ,;.-"), before: trimMarks(written(ts[:i])), after: trimMarks(written(ts[last:end])), sure: 1}, true
	}
	return found{}, false
}

// identity words belong to a name that has them, though some other names go without.
var identity = setOf("whole entier entiers entiere entieres heavy light strong rich weak thick thin pure liquide jaune gold silver bronze dry raw clear mild")

func trimMarks(s string) string { return strings.Trim(s, " ,;:-–—.*") }

// resolveInside looks for an ingredient inside words that are not all understood.
func (r *reader) resolveInside(whole, ts []token) (f found) {
	i := 0
	for i < len(ts)-1 && (isPreparation(ts[i].low) || ts[i].kind == aMark) {
		i++
	}
	before := trimMarks(written(ts[:i]))
	core := ts[i:]
	f = found{name: trimMarks(written(core)), before: before, after: trimMarks(written(whole[len(ts):])), sure: 0.55, asked: "which ingredient is it?"}
	if len(core) == 0 {
		f.name = trimMarks(written(whole))
		return f
	}
	for _, t := range core {
		if t.kind == aNumber {
			defer func() { f.sure = min(f.sure, 0.55) }()
			break
		}
	}
	if fixed := scanWord(core); fixed != "" {
		for _, letter := range []string{"i", "l"} {
			if ing := r.memo.find(strings.ReplaceAll(fixed, "|", letter)); ing != nil {
				f.ing, f.sure, f.asked = ing, 0.7, "the scan seems to have | for a letter"
				return f
			}
		}
	}
	longest := min(len(core), 8)
	for n := longest - 1; n >= 1; n-- {
		for at := len(core) - n; at >= 0; at-- {
			if core[at].kind != aWord || stateWords[core[at].low] && n == 1 {
				continue
			}
			if ing := r.find(core[at : at+n]); ing != nil && plainName(core[at:at+n]) {
				f.ing, f.sure, f.asked = ing, 0.6, "is it "+strings.ToLower(ing.Name)+"? Not every word of the name was understood"
				n = 0
				break
			}
		}
	}
	name := f.name
	if len(name) > 60 {
		return f
	}
	if g := r.memo.guess(name); g.ing != nil && (g.score >= 0.8 || f.ing == nil && g.score >= 0.66) {
		f.ing, f.sure, f.asked = g.ing, 0.72*g.score, "is it "+strings.ToLower(g.ing.Name)+"?"
		if g.score >= 0.85 {
			f.sure = 0.82
		}
	}
	return f
}

// plainName refuses a lone short word as the name inside a longer one.
func plainName(ts []token) bool { return len(ts) > 1 || len(ts[0].low) > 2 }

func scanWord(ts []token) string {
	for _, t := range ts {
		if strings.Contains(t.text, "|") {
			return written(ts)
		}
	}
	return ""
}

// find looks words up in the table.
func (r *reader) find(ts []token) *ingredient.Ingredient {
	if len(ts) == 0 || len(ts) > mostNameWords {
		return nil
	}
	return r.memo.find(written(ts))
}

// openNames are written names that leave open which product is meant.
var openNames = map[string]string{
	"cream": "which cream, and its fat?", "creme": "which cream, and its fat?", "whipping cream": "the fat of the cream?", "heavy cream": "the fat of the cream?",
	"flour": "which flour?", "farine": "which flour?", "chocolate": "which chocolate, and its cocoa?", "dark chocolate": "the cocoa of the chocolate?",
	"milk chocolate": "the cocoa of the chocolate?", "white chocolate": "which white chocolate?", "chocolat": "which chocolate, and its cocoa?",
	"gelatin": "powder or leaf, and its bloom?", "gelatine": "powder or leaf, and its bloom?", "yeast": "fresh or dry yeast?", "levure": "yeast or baking powder?",
	"treacle": "black treacle or golden syrup?", "glucose": "glucose syrup or powder?", "cocoa": "natural or alkalised cocoa?", "brown sugar": "light or dark?",
	"oil": "which oil?", "pectin": "which pectin?", "vanilla": "extract, pod or paste?", "corn flour": "starch (British) or maize flour (American)?",
	"cornflour": "starch (British) or maize flour (American)?", "currants": "dried or fresh currants?", "praline": "a paste or candied nuts?",
	"sugar": "", "milk": "", "butter": "", "double cream": "British double cream of 48 %?", "single cream": "British single cream of 18 %?",
}
