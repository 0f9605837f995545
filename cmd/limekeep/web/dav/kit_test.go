package dav

import (
	"bytes"
	"context"
	"encoding/xml"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
)

// Where things are in tests.
const (
	atRoot       = "/dav/"
	atPrincipal  = "/dav/kitchen/"
	atHome       = "/dav/kitchen/todos/"
	atCollection = "/dav/kitchen/todos/kitchen/"
)

// tester is what a test and a property test have in common.
type tester interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
	Errorf(string, ...any)
}

// kit is a server over a collection in memory, and an app that asks it.
type kit struct {
	tester
	memory  *memory
	handler http.Handler
	log     bytes.Buffer
}

func newKit(t tester) *kit {
	k := &kit{tester: t, memory: newMemory()}
	k.handler = (&Server{
		Collection: k.memory, User: "kitchen", Log: slog.New(slog.NewTextHandler(&k.log, nil)),
		Authenticate: func(_ context.Context, user, password string) (string, bool, error) {
			if password == "broken" {
				return "", false, errBroken
			}
			return "phone", user == "kätchen" && password == "geheim: ☕", nil
		},
	}).Handler()
	return k
}

// ask sends a request of the app; headers are names and values in turn.
func (k *kit) ask(method, path, body string, headers ...string) *httptest.ResponseRecorder {
	k.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.SetBasicAuth("kätchen", "geheim: ☕")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Add(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	k.handler.ServeHTTP(w, r)
	return w
}

// expect is ask where the status has to be one.
func (k *kit) expect(status int, method, path, body string, headers ...string) *httptest.ResponseRecorder {
	k.Helper()
	w := k.ask(method, path, body, headers...)
	if w.Code != status {
		k.Fatalf("%s %s gave %d, want %d:\n%s", method, path, w.Code, status, w.Body)
	}
	return w
}

// element is any XML element, as an independent reader has it.
type element struct {
	XMLName  xml.Name
	Inner    string    `xml:",innerxml"`
	Text     string    `xml:",chardata"`
	Children []element `xml:",any"`
}

// multi is a multistatus as an independent reader has it.
type multi struct {
	XMLName   xml.Name   `xml:"DAV: multistatus"`
	Responses []response `xml:"DAV: response"`
	SyncToken string     `xml:"DAV: sync-token"`
}

type response struct {
	Href      string   `xml:"DAV: href"`
	Status    string   `xml:"DAV: status"`
	Error     *element `xml:"DAV: error"`
	Propstats []struct {
		Prop   element `xml:"DAV: prop"`
		Status string  `xml:"DAV: status"`
	} `xml:"DAV: propstat"`
}

// prop gives a property and the status it came with.
func (r response) prop(local string) (element, string) {
	for _, p := range r.Propstats {
		for _, e := range p.Prop.Children {
			if e.XMLName.Local == local {
				return e, p.Status
			}
		}
	}
	return element{}, ""
}

// read reads a multistatus.
func (k *kit) read(w *httptest.ResponseRecorder) multi {
	k.Helper()
	if w.Code != http.StatusMultiStatus {
		k.Fatalf("status %d, want 207:\n%s", w.Code, w.Body)
	}
	var m multi
	if err := xml.Unmarshal(w.Body.Bytes(), &m); err != nil {
		k.Fatalf("%v in\n%s", err, w.Body)
	}
	return m
}

// names gives the last segments of the hrefs, in order.
func (m multi) names() []string {
	names := []string{}
	for _, r := range m.Responses {
		names = append(names, r.Href[strings.LastIndexByte(strings.TrimSuffix(r.Href, "/"), '/')+1:])
	}
	slices.Sort(names)
	return names
}

// condition reads the condition that an error element names.
func (k *kit) condition(w *httptest.ResponseRecorder) string {
	k.Helper()
	var e element
	if err := xml.Unmarshal(w.Body.Bytes(), &e); err != nil || e.XMLName.Local != "error" || len(e.Children) == 0 {
		k.Fatalf("no error element (%v) in\n%s", err, w.Body)
	}
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, "application/xml") {
		k.Errorf("an error element came as %q", got)
	}
	name := e.Children[0].XMLName
	return name.Space + " " + name.Local
}

// dav puts XML into an element with the usual prefixes.
func davXML(name, inside string) string {
	return `<?xml version="1.0" encoding="utf-8" ?><` + name + ` xmlns:D="DAV:" xmlns:C="urn:ietf:params:xml:ns:caldav" xmlns:CS="http://calendarserver.org/ns/">` + inside + `</` + name + `>`
}
