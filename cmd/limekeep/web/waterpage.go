package web

import (
	"math"
	"net/http"
	"slices"
	"sync"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water"
)

// lineWaterPage is the water of one line: what it means, how it changed, what treats
// it, and where its hardness goes.
type lineWaterPage struct {
	Notice   *notice // what was just written down; nil for nothing
	Line     day.LineInfo
	Others   []day.LineInfo
	Meanings []spotMeaning
	Pictures []picture.Picture
	Litre    *picture.Picture // nil where the line was never tested
	Source   day.PartState
	Stages   []day.StageState
	Tests    []testLine // the latest first
	NoLine   bool
}

// spotMeaning is what the newest test of a spot means.
type spotMeaning struct {
	advice.WaterMeaning
	Where string
	On    record.Date
}

// testLine is a past test.
type testLine struct {
	Record int64
	On     record.Date
	Where  string
	Shared bool // it is of the district, and counts for other places as well
	Values []string
}

// waterMemory keeps what was worked out of the tests of a day, for the next reader:
// it takes longer than all else on the page.
type waterMemory struct {
	mu       sync.Mutex
	of       *day.Forecast
	meanings map[int64]advice.WaterMeaning
	litres   map[string]*picture.Picture
}

// about forgets what was worked out of another forecast. The lock is held.
func (m *waterMemory) about(f *day.Forecast) {
	if m.of != f {
		m.of, m.meanings, m.litres = f, map[int64]advice.WaterMeaning{}, map[string]*picture.Picture{}
	}
}

func (m *waterMemory) meaning(f *day.Forecast, t record.Dated[record.WaterTest]) (advice.WaterMeaning, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.about(f)
	if known, ok := m.meanings[t.ID]; ok {
		return known, nil
	}
	meaning, err := advice.MeaningIn(f, t.Body)
	if err == nil {
		m.meanings[t.ID] = meaning
	}
	return meaning, err
}

// litre draws where the next litre's hardness goes; nil where nobody knows.
func (m *waterMemory) litre(f *day.Forecast, line string) (*picture.Picture, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.about(f)
	if known, ok := m.litres[line]; ok {
		return known, nil
	}
	n, ok, err := advice.NextLitreOf(f, line)
	if err != nil {
		return nil, err
	}
	var drawn *picture.Picture
	if ok {
		p := litrePicture(n, hardnessFor(f.Day.Place))
		drawn = &p
	}
	m.litres[line] = drawn
	return drawn, nil
}

func litrePicture(n advice.NextLitre, told hardnessTold) picture.Picture {
	s := picture.Shares{ID: "litre", Title: wording.WhereHardnessGoes, Unit: told.unit}
	s.Parts = append(s.Parts, picture.Share{Name: wording.DrinksHotWaterAndDrains, Value: n.Leaves})
	if n.Taken > 0 {
		s.Parts = append(s.Parts, picture.Share{Name: wording.HeldBackByTheTreatment, Value: n.Taken})
	}
	several := slices.ContainsFunc(n.Scale, func(v advice.LitreInVessel) bool { return v.Machine != n.Scale[0].Machine })
	for _, v := range n.Scale {
		name := wording.ScaleIn(v.Vessel)
		if several {
			name = wording.ScaleInOneOf(v.Vessel, v.Machine)
		}
		s.Parts = append(s.Parts, picture.Share{Name: name, Value: v.MgPerL})
	}
	for i := range s.Parts {
		s.Parts[i].Value *= told.per
	}
	return s.Draw(writing)
}

// water shows a line's water.
func (h waterPages) water(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	info := f.Day.Info()
	shown := page{Title: wording.Water, Here: "/water", Place: info}
	if len(info.Lines) == 0 {
		shown.Body = lineWaterPage{NoLine: true}
		h.show(w, r, http.StatusOK, "lineofwater", shown)
		return
	}
	at := 0
	if asked := r.URL.Query().Get("line"); asked != "" {
		if at = slices.IndexFunc(info.Lines, func(l day.LineInfo) bool { return l.Line == asked }); at < 0 {
			h.fail(w, r, &record.UnknownError{What: wording.AWaterLinePart, Name: asked})
			return
		}
	}
	p, err := h.lineWaterPage(f, info.Lines[at])
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.Others = slices.Delete(slices.Clone(info.Lines), at, at+1)
	if p.Notice, err = h.noticeOf(r, f.Day, record.KindWaterTest); err != nil {
		h.fail(w, r, err)
		return
	}
	shown.Body = p
	h.show(w, r, http.StatusOK, "lineofwater", shown)
}

func (h waterPages) lineWaterPage(f *day.Forecast, line day.LineInfo) (p lineWaterPage, err error) {
	p = lineWaterPage{Line: line}
	if p.Source, p.Stages, err = f.Parts().Line(line.Line); err != nil {
		return p, err
	}
	tests := f.Day.Book.WaterTests(line.Line)
	newest := map[string]record.Dated[record.WaterTest]{}
	for _, t := range tests {
		newest[t.Body.After] = t
		p.Tests = append(p.Tests, testLine{Record: t.ID, On: t.On, Where: whereTested(line, t.Body), Shared: t.Body.District != "", Values: testedValues(t.Body.Test)})
	}
	slices.Reverse(p.Tests)
	for _, after := range spotsOf(line) {
		t, ok := newest[after]
		if !ok {
			continue
		}
		m, err := h.memory.meaning(f, t)
		if err != nil {
			return p, err
		}
		p.Meanings = append(p.Meanings, spotMeaning{m, whereTested(line, t.Body), t.On})
	}
	for _, q := range []water.Quantity{water.Hardness, water.Alkalinity, water.PH, water.Conductivity} {
		if drawn, ok := testsPicture(f, line, tests, q); ok {
			p.Pictures = append(p.Pictures, drawn)
		}
	}
	p.Litre, err = h.memory.litre(f, line.Line)
	return p, err
}

// testedValues tells what a test measured, and how.
func testedValues(t water.Test) []string {
	var all []string
	for _, v := range t.Values {
		all = append(all, wording.MeasuredBy(say.Measured(v), wordsOf(v.Method).by))
	}
	return all
}

// spotsOf are the places where a line's water can be sampled: before any treatment,
// and behind each stage.
func spotsOf(line day.LineInfo) []string {
	spots := []string{""}
	for _, t := range line.Treatment {
		spots = append(spots, t.ID)
	}
	return spots
}

// whereTested says which water a test is of.
func whereTested(line day.LineInfo, t record.WaterTest) string {
	if t.District != "" {
		return wording.WaterOfDistrict(t.District)
	}
	return spotOf(line, t.After)
}

func spotOf(line day.LineInfo, after string) string {
	if after == "" {
		return wording.BeforeTreatment
	}
	for _, t := range line.Treatment {
		if t.ID == after {
			return wording.BehindStage(stageName(t))
		}
	}
	return wording.BehindWhat(after)
}

// testsPicture draws what was measured of a quantity over time, in the unit that the
// owner wants hardness told in, or else used last. It returns false where there is nothing,
// or, of what says less, nothing to compare.
func testsPicture(f *day.Forecast, line day.LineInfo, tests []record.Dated[record.WaterTest], q water.Quantity) (picture.Picture, bool) {
	unit := q.Units()[0]
	for _, t := range tests {
		if v := t.Body.Test.Value(q); v.Quantity == q {
			unit = v.Unit
		}
	}
	if wished := f.Day.Place.HardnessUnit; wished != "" && slices.Contains(q.Units(), wished) {
		unit = wished
	}
	c := picture.Course{
		ID: "tests-" + string(q), Title: wording.AsTested(quantityLabel(q)), Unit: shortUnit(unit), Today: f.Day.Today,
		Desc: wording.EachTestWithItsSpread,
	}
	for _, after := range spotsOf(line) {
		points := picture.Line{Name: spotOf(line, after), Single: true}
		for _, t := range tests {
			if t.Body.After != after {
				continue
			}
			if at, ok := measuredPoint(t, q, unit); ok {
				points.Points = append(points.Points, at)
			}
		}
		if len(points.Points) > 0 {
			c.Lines = append(c.Lines, points)
		}
	}
	tested := 0
	for _, l := range c.Lines {
		tested += len(l.Points)
	}
	if most := q == water.Hardness || q == water.Alkalinity; tested == 0 || tested == 1 && !most {
		return picture.Picture{}, false
	}
	first, lowest := c.Lines[0].Points[0].On, math.Inf(1)
	for _, l := range c.Lines {
		first = min(first, l.Points[0].On)
		for _, at := range l.Points {
			lowest = min(lowest, at.Low)
		}
	}
	if q == water.PH { // a scale without a zero that anybody meets
		c.Least = max(0, math.Floor(lowest)-1)
	}
	c.From = min(first-14, f.Day.Today-90)
	return c.Draw(writing), true
}

// nineInTen is how many standard deviations one chance in ten lies beyond, each way.
const nineInTen = 1.2816

// measuredPoint is one value of a test with its spread.
func measuredPoint(t record.Dated[record.WaterTest], q water.Quantity, unit water.Unit) (picture.Point, bool) {
	v := t.Body.Test.Value(q)
	if v.Quantity != q {
		return picture.Point{}, false
	}
	canonical, err := q.Canonical(v.Value, v.Unit)
	if err != nil {
		return picture.Point{}, false
	}
	spread, _ := v.Method.Spread(q, canonical) // 0 where the method does not say
	if v.Spread > 0 {
		spread, _ = q.Canonical(v.Spread, v.Unit) // good, since the value's unit is
	}
	in := func(x float64) float64 {
		y, _ := q.In(x, unit) // good, since another test had it
		return y
	}
	return picture.Point{On: t.On, Likely: in(canonical), Low: in(max(canonical-nineInTen*spread, 0)), High: in(canonical + nineInTen*spread)}, true
}

// shortUnit is a unit as it stands on an axis.
func shortUnit(u water.Unit) string {
	switch u {
	case water.GermanDegree:
		return "°dH"
	case water.FrenchDegree:
		return "°fH"
	case water.MgPerLCaCO3:
		return wording.MgPerLAsCaCO3
	}
	return string(u)
}
