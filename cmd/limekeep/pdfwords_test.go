package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"testing"
)

// pdfWord is a word on a page of a PDF, in points from its upper left corner.
type pdfWord struct {
	text                     string
	left, top, right, bottom float64
	pageWidth, pageHeight    float64
}

// pdfWords reads what pdftotext -bbox writes, and counts the pages.
func pdfWords(t *testing.T, out []byte) (words []pdfWord, pages int) {
	t.Helper()
	decoder := xml.NewDecoder(bytes.NewReader(out))
	decoder.Strict, decoder.Entity = false, xml.HTMLEntity
	var width, height float64
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return words, pages
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		at := func(name string) float64 {
			for _, a := range start.Attr {
				if a.Name.Local == name {
					x, err := strconv.ParseFloat(a.Value, 64)
					if err != nil {
						t.Fatal(err)
					}
					return x
				}
			}
			t.Fatalf("%s has no %s", start.Name.Local, name)
			return 0
		}
		switch start.Name.Local {
		case "page":
			pages++
			width, height = at("width"), at("height")
		case "word":
			w := pdfWord{left: at("xMin"), top: at("yMin"), right: at("xMax"), bottom: at("yMax"), pageWidth: width, pageHeight: height}
			if err := decoder.DecodeElement(&w.text, &start); err != nil {
				t.Fatal(err)
			}
			words = append(words, w)
		}
	}
}
