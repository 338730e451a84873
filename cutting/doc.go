// Package cutting takes pieces out of what was baked: discs from sheets and from round cakes,
// rectangles and strips, bands pieced from several strips.
//
// # Forms
//
// Lay puts pieces on as many equal sheets as they need. By default every cut goes from edge to edge
// of what is left, as a knife and a ruler do (guillotine cuts); free cuts are an option. Discs
// alone are set into each other's gaps in lattices, and the few of a small sheet or of a round cake
// by an improving packer. Each layout is verified by Check, and says a lower bound on the sheets.
//
// Underneath stand the packers of the literature on their own: Strip for the least height at a
// given width, Bin for the fewest sheets, Lengths for the fewest lengths, and Circles for the
// largest equal circles in a rectangle or a circle.
//
// # Methods
//
// Rectangles are placed one after another where they fit best, and the order is improved by taking
// the emptiest sheets apart (ruin and recreate) within a bound of work. Strips of a given width
// use a skyline with a fitness for every niche. Lengths use minimum bin slack with perturbation.
// Circles repel each other from many starts and are polished until they touch. Everything is
// deterministic for a seed and counts its work; nothing here reads a clock.
//
// Sources: bib:hopper-turton-2001, bib:jylanki-2010, bib:leung-2011, bib:fleszar-hindi-2002.
package cutting
