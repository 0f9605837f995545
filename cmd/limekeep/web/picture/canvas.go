package picture

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// canvas is a drawing under way, in SVG.
type canvas struct {
	b     strings.Builder
	links bool // it holds links, so that it is no single image
}

// role is what the drawing is to a screen reader: one image, or a group of what
// can be followed.
func (c *canvas) role() string {
	if c.links {
		return "group"
	}
	return "img"
}

// open begins an element. Attributes are names and values in turn; a value is a
// string or a coordinate.
func (c *canvas) open(element string, attributes ...any) { c.tag(element, ">", attributes) }

// draw writes an element that holds nothing.
func (c *canvas) draw(element string, attributes ...any) { c.tag(element, "/>", attributes) }

func (c *canvas) close(element string) { c.b.WriteString("</" + element + ">") }

// words writes an element that holds a text.
func (c *canvas) words(element, text string, attributes ...any) {
	c.open(element, attributes...)
	c.escape(text)
	c.close(element)
}

// text writes words at a point; anchor is start, middle or end.
func (c *canvas) text(x, y float64, anchor, class, text string) {
	c.words("text", text, "x", x, "y", y, "text-anchor", anchor, "class", class)
}

// line draws a straight line.
func (c *canvas) line(x1, y1, x2, y2 float64, class string) {
	c.draw("line", "x1", x1, "y1", y1, "x2", x2, "y2", y2, "class", class)
}

func (c *canvas) path(d, class string) { c.draw("path", "d", d, "class", class) }

func (c *canvas) rect(x, y, width, height, corner float64, class string) {
	c.draw("rect", "x", x, "y", y, "width", width, "height", height, "rx", corner, "class", class)
}

func (c *canvas) circle(x, y, r float64, class string) {
	c.draw("circle", "cx", x, "cy", y, "r", r, "class", class)
}

func (c *canvas) tag(element, end string, attributes []any) {
	c.b.WriteString("<" + element)
	for i := 0; i+1 < len(attributes); i += 2 {
		fmt.Fprintf(&c.b, ` %s="`, attributes[i])
		switch v := attributes[i+1].(type) {
		case float64:
			c.b.WriteString(decimal(v))
		default:
			c.escape(fmt.Sprint(v))
		}
		c.b.WriteString(`"`)
	}
	c.b.WriteString(end)
}

// escape writes a text for XML: what no document may hold becomes a replacement
// character.
func (c *canvas) escape(text string) {
	_ = xml.EscapeText(&c.b, []byte(text)) // a strings.Builder never fails
}

// trace writes a path through points, x and y in turn.
func trace(points []spot) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteString(either(i == 0, "M", "L") + decimal(p.x) + " " + decimal(p.y))
	}
	return b.String()
}

// spot is a point of a drawing.
type spot struct{ x, y float64 }

func either(first bool, one, other string) string {
	if first {
		return one
	}
	return other
}
