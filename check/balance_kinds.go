package check

import (
	"slices"
	"strings"
	"sync"

	"chablon/formula"
	"chablon/ingredient"
)

// kindWords are the words for each kind of component, its own name first: French and English, as
// documents and books write them, without accents. Kinds without a word of
// their own, and the general ones (mousse, glaze, ganache), are told apart by narrower.
var kindWords = [][]string{
	{"genoise", "genoise sponge", "whole egg sponge", "genoese"},
	{"separated sponge", "biscuit cuillere", "ladyfinger", "ladyfingers", "biscuit a la cuillere", "separated egg sponge", "sponge fingers", "sponge"},
	{"roulade", "roulade sponge", "swiss roll", "rolled sponge", "biscuit roule"},
	{"chiffon", "chiffon cake"},
	{"joconde", "biscuit joconde", "almond joconde", "nut joconde"},
	{"dacquoise", "succes", "progres", "nut meringue"},
	{"financier", "friand"},
	{"almond paste sponge", "pain de genes", "almond paste cake"},
	{"brownie"},
	{"flourless chocolate biscuit", "flourless chocolate sponge", "biscuit chocolat sans farine"},
	{"pâte sucrée", "sweet pastry", "sweet dough", "sucree"},
	{"pâte sablée", "shortbread dough", "sablee", "sable", "shortbread"},
	{"sablé breton", "breton shortbread", "palet breton"},
	{"streusel", "crumble"},
	{"croustillant", "crunch", "praline crunch", "praline feuillete"},
	{"cigarette paste", "pate a cigarette", "stencil paste", "decor paste"},
	{"french meringue", "meringue"},
	{"swiss meringue"},
	{"italian meringue"},
	{"crème anglaise", "anglaise", "custard", "custard sauce", "custard base"},
	{"crème pâtissière", "pastry cream", "patissiere"},
	{"diplomat", "diplomat cream", "creme diplomate", "creme legere"},
	{"mousseline", "mousseline cream", "creme mousseline"},
	{"chiboust", "chiboust cream", "creme chiboust"},
	{"whipped cream", "chantilly", "creme chantilly", "creme fouettee"},
	{"bavarois", "bavarian cream", "bavaroise"},
	{"fruit mousse with meringue"},
	{"fruit mousse"},
	{"chocolate mousse on custard"},
	{"chocolate mousse on ganache"},
	{"chocolate mousse on bombe"},
	{"chocolate mousse", "mousse au chocolat"},
	{"pâte à bombe", "bombe"},
	{"chocolate crémeux", "cremeux chocolat"},
	{"fruit crémeux"},
	{"fruit curd", "curd", "lemon curd"},
	{"jelly insert", "fruit jelly", "jelly", "gelee", "fruit insert"},
	{"fruit compote", "compote", "confit", "fruit confit", "pectin insert"},
	{"dark ganache"},
	{"milk ganache"},
	{"white ganache"},
	{"whipped ganache", "ganache montee"},
	{"namelaka"},
	{"panna cotta"},
	{"cocoa glaze", "cocoa mirror glaze", "glacage cacao"},
	{"white chocolate glaze"},
	{"neutral glaze", "nappage", "clear glaze"},
	{"fruit glaze"},
	{"mirror glaze", "glacage miroir"},
	{"glaze", "glacage"},
	{"soaking syrup", "soak", "syrup", "punch", "sirop d'imbibage"},
	{"italian buttercream", "buttercream"},
	{"french buttercream"},
	{"swiss buttercream"},
	{"simple buttercream", "butter icing"},
	{"caramel", "caramel sauce", "caramel insert"},
	{"velvet spray", "velvet", "spray", "flocage"},
	{"rocher coat", "rocher", "rocher glaze"},
	{"cream"},
	{"marshmallow", "guimauve"},
	{"gummy", "gummies"},
	{"butter cake", "pound cake", "quatre-quarts", "quatre quarts", "madeira cake", "creamed cake"},
	{"high-ratio cake", "high ratio cake"},
	{"mousse"},
	{"ganache"},
	{"crémeux", "cremeux"},
}

// Kinds lists the kinds of component that the rules tell apart, by their own words.
func Kinds() []string { return slices.Clone(kindTable().names) }

type kindIndex struct {
	names []string
	by    map[string]string
}

var kindTable = sync.OnceValue(func() kindIndex {
	x := kindIndex{by: map[string]string{}}
	for _, words := range kindWords {
		x.names = append(x.names, words[0])
		for _, w := range words {
			x.by[plainWords(w)] = words[0]
		}
	}
	return x
})

var unaccent = strings.NewReplacer("é", "e", "è", "e", "ê", "e", "â", "a", "à", "a", "î", "i", "ï", "i", "ô", "o", "û", "u", "ù", "u", "ç", "c", "-", " ", "_", " ", "’", "'")

// plainWords lowers a text and takes accents, hyphens and doubled spaces off it.
func plainWords(s string) string {
	plain := func(r rune) bool { return r < 128 && r != '-' && r != '_' && (r < 'A' || r > 'Z') }
	if strings.IndexFunc(s, func(r rune) bool { return !plain(r) }) >= 0 {
		s = unaccent.Replace(strings.ToLower(s))
	}
	return strings.Join(strings.Fields(s), " ")
}

// Kind returns the kind that a type's word means, whatever its case, accents and hyphens, and
// whether there is one: "Crème anglaise" and "custard" are the same kind.
func Kind(word string) (string, bool) {
	k, ok := kindTable().by[plainWords(word)]
	return k, ok
}

// KindOf returns the kind of a formula: by its type and, where that says only "mousse",
// "chocolate mousse", "glaze", "ganache", "crémeux", "meringue" or "buttercream", by what it holds.
func KindOf(f *formula.Formula) (string, bool) {
	k, ok := Kind(f.Type)
	if !ok {
		return "", false
	}
	return narrower(k, f, partsOf(f)), true
}

// narrower tells by its parts what a word leaves open.
func narrower(k string, f *formula.Formula, p parts) string {
	switch k {
	case "mousse":
		switch {
		case p.of("chocolate") > 0:
			return narrower("chocolate mousse", f, p)
		case p.of("meringue") > 0 || p.of("egg white") > 0:
			return "fruit mousse with meringue"
		}
		return "fruit mousse"
	case "chocolate mousse":
		switch {
		case p.of("custard") > 0:
			return "chocolate mousse on custard"
		case p.of("bombe") > 0 || p.of("egg yolk") > 0 && p.of("milk") == 0:
			return "chocolate mousse on bombe"
		case p.of("egg") > 0 && p.of("milk") > 0:
			return "chocolate mousse on custard"
		case p.of("egg") == 0 && p.of("cream") > 0:
			return "chocolate mousse on ganache"
		}
	case "glaze", "mirror glaze":
		switch {
		case p.of("cocoa") > 0:
			return "cocoa glaze"
		case p.of("white chocolate") > 0:
			return "white chocolate glaze"
		case p.of("pectin NH") > 0 && p.of("fruit") == 0:
			return "neutral glaze"
		case p.of("fruit") > 0 && k == "glaze":
			return "fruit glaze"
		}
	case "ganache":
		switch {
		case f.Air.Overrun > 0:
			return "whipped ganache"
		case p.of("white chocolate") > p.of("chocolate")/2:
			return "white ganache"
		case p.of("milk chocolate") > p.of("chocolate")/2:
			return "milk ganache"
		}
		return "dark ganache"
	case "crémeux":
		if p.of("chocolate") > 0 {
			return "chocolate crémeux"
		}
		return "fruit crémeux"
	case "french meringue":
		if plainWords(f.Type) == "meringue" && p.of("water") > 0 {
			return "italian meringue"
		}
	case "italian buttercream":
		if plainWords(f.Type) == "buttercream" {
			switch {
			case p.of("egg yolk") > p.of("egg white"):
				return "french buttercream"
			case p.of("egg") == 0:
				return "simple buttercream"
			case p.of("water") == 0:
				return "swiss buttercream"
			}
		}
	}
	return k
}

// has reports whether an ingredient's ID begins with one of the words.
func has(i *ingredient.Ingredient, words ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(i.ID, w) })
}
