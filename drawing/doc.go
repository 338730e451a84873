// Package drawing draws assemblies, cutting layouts and timelines.
//
// A picture is made once, as a value: a [Drawing] of paths, circles and text, with colours and
// hatches by name. Writers turn that one value into SVG, PDF and PNG, so that all three show the
// same. Lengths are units of a 96th of an inch on paper (a CSS pixel); x points right, y down.
//
// A section is to scale. MMPerUnit is the one scale, in both directions, and Axis the x of the
// axis, so that the drawn region of a layer, revolved about that axis, has the layer's volume.
// The SVG carries both as data-mm-per-unit and data-axis-x, and each layer as one path with
// data-layer and data-kind.
//
// The SVG names its colours by CSS variables with fallbacks (--paper, --ink, --soft, --accent and
// for each hatch --hatch-NAME and --hatch-NAME-line, where NAME is sponge, disc, mousse, cream,
// insert, insert-two, band, spread, coat or waiting), as attributes and without a style sheet: set
// in a page it follows the page's light or dark colours, by itself it looks right too. PDF and
// PNG carry the fallbacks. Text in PDF and PNG is set in the embedded font, in SVG in the page's.
//
// Limits: a section shows a coat as the film that stays, a soak only as a leader to its disc, and
// a décor as marks of one size.
package drawing
