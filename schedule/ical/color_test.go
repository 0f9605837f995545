package ical

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
)

// css3Colors are the sixteen basic names of CSS3 with their values (CSS Color Module Level
// 3, 4.1), of which COLOR takes one in any case of letters (RFC 7986, 5.9).
var css3Colors = map[string]string{
	"black": "#000000", "silver": "#C0C0C0", "gray": "#808080", "white": "#FFFFFF",
	"maroon": "#800000", "red": "#FF0000", "purple": "#800080", "fuchsia": "#FF00FF",
	"green": "#008000", "lime": "#00FF00", "olive": "#808000", "yellow": "#FFFF00",
	"navy": "#000080", "blue": "#0000FF", "teal": "#008080", "aqua": "#00FFFF",
}

// A feed names its colour once, by a name of CSS3 (RFC 7986, 4 and 5.9), and task apps are
// given the same in their way: red, green and blue as CSS has them, and nothing of it
// transparent.
func TestColor(t *testing.T) {
	var feed bytes.Buffer
	if err := Encode(&feed, agenda.Agenda{Name: "Kitchen", Zone: time.UTC}); err != nil {
		t.Fatal(err)
	}
	calendar, err := goical.NewDecoder(&feed).Decode()
	if err != nil {
		t.Fatal(err)
	}
	colors := calendar.Props[goical.PropColor]
	if len(colors) != 1 {
		t.Fatalf("COLOR stands %d times, want once", len(colors))
	}
	value, ok := css3Colors[colors[0].Value]
	if !ok || len(colors[0].Params) != 0 {
		t.Fatalf("COLOR is %q with %v, no name of CSS3 as a plain text", colors[0].Value, colors[0].Params)
	}
	if want := fmt.Sprint(value, "FF"); ColorRGBA != want {
		t.Errorf("task apps show %s, feeds %s, which is %s", ColorRGBA, colors[0].Value, want)
	}
}
