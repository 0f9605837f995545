package web

import (
	"net/http"
	"net/url"
	"strings"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// equipmentPages show what stands at the place: machines as drawings, their
// vessels, grinders and tools.
type equipmentPages struct{ *handler }

func (h equipmentPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /equipment", h.kept(h.all, nil))
	mux.HandleFunc("GET /equipment/{id}", h.kept(h.one, nil))
	mux.HandleFunc("GET /equipment/{id}/{vessel}", h.kept(h.vessel, nil))
}

// equipmentPath is the address of a piece of equipment's page.
func equipmentPath(id string) string { return "/equipment/" + url.PathEscape(id) }

// equipmentList is all that stands at the place.
type equipmentList struct {
	Drawings []picture.Picture // of machines
	Others   []day.PartState   // grinders and tools
	Lines    []day.LineInfo
}

func (h equipmentPages) all(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := equipmentList{Lines: f.Day.Info().Lines}
	if p.Drawings, err = machineDrawings(f); err != nil {
		h.fail(w, r, err)
		return
	}
	for _, e := range f.Day.Book.Equipment() {
		if e.Machine == nil && e.Line == nil {
			p.Others = append(p.Others, f.Parts().Whole(e))
		}
	}
	h.show(w, r, http.StatusOK, "equipment", page{Title: wording.Equipment, Here: "/equipment", Place: f.Day.Info(), Body: p})
}

// equipmentPage is one piece of equipment, part by part.
type equipmentPage struct {
	Name    string
	ID      string
	Drawing *picture.Picture // nil where it is no machine
	Parts   []partSection
}

// partSection is a part with its tasks.
type partSection struct {
	day.PartState
	Anchor string // id on the page
	Page   string // address of a page of its own; empty for none
	Called string // its heading
}

func (h equipmentPages) one(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	e, err := f.Day.Book.Find(r.PathValue("id"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if e.Line != nil {
		http.Redirect(w, r, waterPath(e.ID), http.StatusFound)
		return
	}
	p := equipmentPage{Name: e.Title(), ID: e.ID}
	if e.Machine == nil {
		p.Parts = []partSection{{PartState: f.Parts().Whole(e), Anchor: "part-whole", Called: wording.WhatIsDoneToIt}}
	} else {
		parts, err := f.Parts().Machine(e.ID)
		if err != nil {
			h.fail(w, r, err)
			return
		}
		drawing := machinePicture("machine", parts)
		drawing.Title = wording.PartByPart // the page is called like the machine
		p.Drawing, p.Parts = &drawing, machineSections(parts)
	}
	h.show(w, r, http.StatusOK, "machine", page{Title: e.Title(), Here: "/equipment", Place: f.Day.Info(), Body: p})
}

// machineSections lists a machine's parts that something is done to.
func machineSections(m day.MachineParts) []partSection {
	var all []partSection
	add := func(p day.PartState, anchor, page, called string) {
		if len(p.Tasks) > 0 {
			all = append(all, partSection{PartState: p, Anchor: anchor, Page: page, Called: called})
		}
	}
	for _, v := range m.Vessels {
		add(v.PartState, "part-"+v.Part, vesselPath(m.Equipment, v.Part), vesselName(v))
	}
	for _, g := range m.Groups {
		add(g.PartState, "part-"+g.Part, "", groupName(g, len(m.Groups)))
	}
	if m.Pump != nil {
		add(*m.Pump, "pump", "", wording.Pump)
	}
	if m.Wand != nil {
		add(*m.Wand, "steam-wand", "", wording.SteamWand)
	}
	add(m.Whole, "whole", "", wording.TheMachineAsAWhole)
	return all
}

// vesselPath is the address of a vessel's page.
func vesselPath(machine, vessel string) string {
	return equipmentPath(machine) + "/" + url.PathEscape(vessel)
}

// waterPath is the address of a water line's page.
func waterPath(line string) string { return "/water?line=" + url.QueryEscape(line) }

// machineDrawings draws every machine of the place.
func machineDrawings(f *day.Forecast) ([]picture.Picture, error) {
	var all []picture.Picture
	for _, e := range f.Day.Book.Equipment() {
		if e.Machine == nil {
			continue
		}
		parts, err := f.Parts().Machine(e.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, machinePicture("machine-"+e.ID, parts))
	}
	return all, nil
}

// machinePicture draws a machine. The id must be the picture's own on its page.
func machinePicture(id string, m day.MachineParts) picture.Picture {
	own := equipmentPath(m.Equipment)
	water := waterPath(m.Source.Equipment)
	p := picture.Machine{
		ID: id, Title: m.Name, Tank: m.Supply == record.Tank, HotTap: m.HotTap,
		Whole:  drawnPart(m.Whole, m.Name, wording.TheMachineAsAWhole, own+"#whole"),
		Supply: drawnPart(m.Source, string(m.Supply), wording.TheWaterItself(m.Source.Name), water),
	}
	for _, s := range m.Stages {
		p.Treatment = append(p.Treatment, drawnPart(s.PartState, stageWord(s.Kind), capital(string(s.Kind)), water))
	}
	if m.Pump != nil {
		pump := drawnPart(*m.Pump, "pump", wording.Pump, own+"#pump")
		p.Pump = &pump
	}
	for _, v := range m.Vessels {
		p.Vessels = append(p.Vessels, picture.Vessel{
			Part: drawnPart(v.PartState, v.Part, vesselName(v), vesselPath(m.Equipment, v.Part)),
			Kind: vesselKinds[v.Kind], Celsius: v.Celsius, Material: picture.Material(v.Material),
		})
	}
	for _, g := range m.Groups {
		drawn := picture.Group{Part: drawnPart(g.PartState, g.Part, groupName(g, len(m.Groups)), own+"#part-"+url.PathEscape(g.Part))}
		switch {
		case g.Spring:
			drawn.Drive = picture.BySpringDown
		case g.Lever:
			drawn.Drive = picture.ByLever
		case g.Cam:
			drawn.Drive = picture.ByCam
		}
		p.Groups = append(p.Groups, drawn)
	}
	if m.Wand != nil {
		wand := drawnPart(*m.Wand, "wand", wording.SteamWand, own+"#steam-wand")
		p.Wand = &wand
	}
	for _, g := range m.Grinders {
		p.Grinders = append(p.Grinders, picture.Grinder{Part: drawnPart(g.PartState, g.Name, g.Name, equipmentPath(g.Equipment)), Hand: g.Hand})
	}
	return p.Draw(writing)
}

var vesselKinds = map[record.VesselKind]picture.VesselKind{
	record.BrewBoiler: picture.BrewBoiler, record.SteamBoiler: picture.SteamBoiler, record.HeatExchanger: picture.HeatExchanger, record.Thermoblock: picture.Thermoblock,
}

// stageWord is a kind of treatment as it fits on a cartridge.
func stageWord(kind record.TreatmentKind) string {
	switch kind {
	case record.ReverseOsmosis:
		return "osmosis"
	case record.Decarboniser:
		return "decarbon."
	}
	return string(kind)
}

// drawnPart is a part as a picture shows it.
func drawnPart(p day.PartState, name, what, page string) picture.Part {
	drawn := picture.Part{Name: name, What: what, Page: page}
	if p.Highest != nil {
		drawn.Gauge, drawn.Reading = p.Highest.Gauge, p.Highest.Reading
	}
	for _, t := range p.Past {
		drawn.Past = append(drawn.Past, t.Title)
	}
	return drawn
}

// groupName names a group; of several by its id.
func groupName(g day.GroupState, groups int) string {
	if groups == 1 || strings.EqualFold(g.Part, wording.TheGroup) {
		return wording.TheGroup
	}
	return wording.GroupNamed(g.Part)
}

// vesselPage is one vessel: its scale and its water over time, and what they cost.
type vesselPage struct {
	day.VesselReport
	Pictures []picture.Picture
}

func (h equipmentPages) vessel(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	report, err := f.Parts().Vessel(r.PathValue("id"), r.PathValue("vessel"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := vesselPage{VesselReport: report}
	for i, c := range report.Courses {
		p.Pictures = append(p.Pictures, amountPicture("scale-"+string(rune('a'+i)), capital(c.Name), f.Day, c))
	}
	for i, c := range report.Dissolved {
		p.Pictures = append(p.Pictures, amountPicture("water-"+string(rune('a'+i)), capital(c.Name), f.Day, c))
	}
	h.show(w, r, http.StatusOK, "vessel", page{Title: p.Called(), Here: "/equipment", Place: f.Day.Info(), Body: p})
}

// Called names the vessel.
func (p vesselPage) Called() string { return vesselName(p.State) }

// vesselName names a vessel by what it is, and by its id where that says more.
func vesselName(v day.VesselState) string {
	if strings.Contains(string(v.Kind), v.Part) {
		return capital(string(v.Kind))
	}
	return capital(string(v.Kind)) + " " + v.Part
}
