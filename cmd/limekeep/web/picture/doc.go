// Package picture draws what the pages show: courses over time, lines of dates,
// bars by week, gauges, histograms and machines with their water paths. Each is a
// pure function from figures to an SVG drawing with a title, a description and the
// table that stands beneath it.
//
// It draws by itself, since the libraries for plots write fixed colours and fonts
// and no titles, links or descriptions. A page here has two themes, is read aloud
// as well as seen, and is looked at on a phone. Colours are therefore classes that
// the style sheet of the pages fills, nothing is told by colour alone (lines differ
// by their dashes, marks by their shapes), and texts are escaped for XML whatever
// an owner called a thing.
package picture
