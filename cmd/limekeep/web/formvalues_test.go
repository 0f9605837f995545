package web_test

import (
	"encoding/xml"
	"errors"
	"io"
	"net/url"
	"strings"
	"testing"
)

// formValues returns what a browser would send of the markup within a form: inputs with
// their values, boxes and choices that are ticked, of selects the one selected or else
// the first (HTML, 4.10.21.4, constructing the entry list).
func formValues(t *testing.T, markup string) url.Values {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader("<form>" + markup[strings.Index(markup, ">")+1:] + "</form>"))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	values := url.Values{}
	selecting, writing := "", ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return values
		}
		if err != nil {
			t.Fatalf("the form is not well-formed: %v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			is := map[string]string{}
			has := map[string]bool{}
			for _, a := range e.Attr {
				is[a.Name.Local], has[a.Name.Local] = a.Value, true
			}
			switch e.Name.Local {
			case "input":
				if kind := is["type"]; (kind != "checkbox" && kind != "radio" || has["checked"]) && kind != "file" {
					values.Set(is["name"], is["value"])
				}
			case "select":
				selecting = is["name"]
			case "option":
				if selecting != "" && (has["selected"] || !values.Has(selecting)) {
					values.Set(selecting, is["value"])
				}
			case "textarea":
				writing = is["name"]
				values.Set(writing, "")
			}
		case xml.CharData:
			if writing != "" {
				values.Set(writing, values.Get(writing)+string(e))
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "select":
				selecting = ""
			case "textarea":
				writing = ""
			}
		}
	}
}
