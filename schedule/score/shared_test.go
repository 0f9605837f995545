package score

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// sharedPlace is a place at which the limit of every part is a factor of what the
// catalogue has.
func sharedPlace(seed uint64, factor float64, findings int) Shared {
	r := rand.New(rand.NewPCG(seed, 5))
	limit := figure.Percentiles{Low: 1460, Likely: 2920, High: 4380}
	s := Shared{Format: SharedFormat, Version: SharedVersion, Since: "2026-03", Cases: []SharedCase{}, Evidence: []SharedFound{}}
	common := r.NormFloat64()
	for part := range findings {
		truth := factor * limit.At(figure.NormalBelow((common+r.NormFloat64())/math.Sqrt2))
		amount := limit.Likely * math.Exp(0.4*r.NormFloat64())
		seen, found := amount/truth*math.Exp(0.35*r.NormFloat64()), record.Fresh
		if seen >= 0.5 {
			found = record.Worn
		}
		if seen >= 1.25 {
			found = record.Failed
		}
		s.Evidence = append(s.Evidence, SharedFound{
			Thing: 1, Part: part, Care: "group-gasket", Kind: wear.ExpectedPart, Gauge: "hours hot", Unit: "h",
			Limit: limit, Amount: figure.Sure(amount), Found: found,
		})
		s.Cases = append(s.Cases, SharedCase{Care: "group-gasket", Kind: wear.ExpectedPart, Stretch: Stretch{0.2, 0.6}, Answers: 3, Chance: 0.4, Score: 0.1})
	}
	return s
}

// A limit that is truly a factor of the catalogue's is found again within its
// interval; one that is right is left alone; a few places change nothing; and one
// place that shouts cannot either.
func TestProposalsFollowWhatHappened(t *testing.T) {
	places := func(n int, factor float64) []Shared {
		var all []Shared
		for i := range n {
			all = append(all, sharedPlace(uint64(i), factor, 5))
		}
		return all
	}
	only := func(all []Shared) Proposal {
		m := Merge(all)
		if len(m.Proposals) != 1 {
			t.Fatalf("%d proposals", len(m.Proposals))
		}
		return m.Proposals[0]
	}
	for _, factor := range []float64{0.6, 1.7} {
		p := only(places(80, factor))
		if p.Refused != "" || p.Shift.Low > factor || p.Shift.High < factor {
			t.Errorf("truly %g times: %.2f (%.2f to %.2f), refused %q", factor, p.Shift.Likely, p.Shift.Low, p.Shift.High, p.Refused)
		}
	}
	if p := only(places(80, 1)); !strings.HasPrefix(p.Refused, "it stands") {
		t.Errorf("a right limit: %.2f (%.2f to %.2f), refused %q", p.Shift.Likely, p.Shift.Low, p.Shift.High, p.Refused)
	}
	if p := only(places(9, 1.7)); !strings.HasPrefix(p.Refused, "too thin") {
		t.Errorf("nine places: refused %q", p.Refused)
	}
	// One place with two hundred failures at a tenth of the limit.
	loud := sharedPlace(99, 1, 1)
	for i := range 200 {
		f := loud.Evidence[0]
		f.Part, f.Amount, f.Found = i, figure.Sure(292), record.Failed
		loud.Evidence = append(loud.Evidence, f)
	}
	without, with := only(places(80, 1)), only(append(places(80, 1), loud))
	if math.Abs(math.Log(with.Shift.Likely/without.Shift.Likely)) > 0.1 || with.Refused == "" {
		t.Errorf("one loud place moves the shift from %.2f to %.2f, refused %q", without.Shift.Likely, with.Shift.Likely, with.Refused)
	}
}

// Files count once each and in whatever order.
func TestMergeKnowsNoOrder(t *testing.T) {
	a, b := sharedPlace(1, 1, 3), sharedPlace(2, 1, 4)
	one, two := Merge([]Shared{a, b, a}), Merge([]Shared{b, a, a})
	if fmt.Sprint(one) != fmt.Sprint(two) || one.Places != 2 || one.Twice != 1 || one.Tallies[0].Cases != 7 {
		t.Errorf("%v and %v", one, two)
	}
}

func TestReadSharedRefuses(t *testing.T) {
	good, err := json.Marshal(sharedPlace(1, 1, 2))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ReadShared(bytes.NewReader(good)); err != nil {
		t.Fatalf("what was shared: %v", err)
	}
	for _, c := range []struct{ name, from, to, says string }{
		{"another format", SharedFormat, "something", "format"},
		{"a later version", `"version":1`, `"version":2`, "version"},
		{"an unknown field", `"since"`, `"until"`, "until"},
		{"more behind its end", `]}`, `]} {}`, "behind"},
		{"a chance above one", `"chance":0.4`, `"chance":1.5`, "cases[0].chance"},
		{"a negative score", `"score":0.1`, `"score":-1`, "cases[0].score"},
		{"a huge number", `"score":0.1`, `"score":1e300`, "cases[0].score"},
		{"no number at all", `"score":0.1`, `"score":1e999`, "score"},
		{"a stretch that runs backwards", `"from":0.2`, `"from":0.9`, "cases[0].stretch"},
		{"a name with a line in it", `"care":"group-gasket"`, `"care":"group\ngasket"`, "care"},
		{"an escape sequence", `"gauge":"hours hot"`, `"gauge":"\u001b[2J"`, "gauge"},
		{"an unknown finding", `"found":"` + string(sharedPlace(1, 1, 2).Evidence[0].Found), `"found":"gold`, "evidence[0].found"},
		{"a limit below nothing", `"low":1460`, `"low":-5`, "evidence[0].limit"},
		{"a part of a huge number", `"part":0`, `"part":99999999`, "evidence[0].part"},
		{"a day", `"since":"2026-03"`, `"since":"2026-03-07T"`, "since"},
		{"nothing", string(good), "", "score"},
	} {
		text := strings.Replace(string(good), c.from, c.to, 1)
		if text == string(good) {
			t.Fatalf("%s: nothing was changed", c.name)
		}
		_, err := ReadShared(strings.NewReader(text))
		var field *record.FieldError
		if !errors.As(err, &field) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want a field error about %q", c.name, err, c.says)
		}
	}
}

func FuzzReadShared(f *testing.F) {
	for i := range uint64(3) {
		good, err := json.Marshal(sharedPlace(i, 1, int(i)))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(good)
	}
	f.Add([]byte(`{"format":"limekeep score","version":1,"since":"","cases":null,"evidence":[{}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Memory(t)()
		s, err := ReadShared(bytes.NewReader(data))
		if err != nil {
			return
		}
		m := Merge([]Shared{s})
		for _, p := range m.Proposals {
			if math.IsNaN(p.Shift.Likely) || p.Refused == "" {
				t.Fatalf("one place alone gives %+v", p)
			}
		}
		if _, err := json.Marshal(m); err != nil {
			t.Fatal(err)
		}
	})
}

// Without findings the error is what is assumed; a place that surprises widens it,
// one that never does narrows it, and neither leaves the bounds.
func TestModelErrorIsLearntWithinBounds(t *testing.T) {
	cases := func(n int, spread float64) []Case {
		var all []Case
		r := rand.New(rand.NewPCG(3, 4))
		for range n {
			at := figure.NormalBelow(spread * r.NormFloat64())
			all = append(all, Case{Kind: wear.ExpectedScale, Stretch: Stretch{at, at}, logVariance: 0.3, modelLogSD: wear.ModelLogSD})
		}
		return all
	}
	none := Learn(nil)
	if none.LogSD != wear.ModelLogSD || none.Findings != 0 {
		t.Errorf("without findings %+v", none)
	}
	honest, wild, tame := Learn(cases(40, 1)), Learn(cases(40, 2.5)), Learn(cases(40, 0.6))
	if !(tame.LogSD < honest.LogSD && honest.LogSD < wild.LogSD) {
		t.Errorf("tame %.3f, honest %.3f, wild %.3f", tame.LogSD, honest.LogSD, wild.LogSD)
	}
	if math.Abs(math.Log(honest.LogSD/wear.ModelLogSD)) > 0.35 {
		t.Errorf("honest forecasts move it to %.3f", honest.LogSD)
	}
	few := Learn(cases(2, 3))
	if few.LogSD > 0.45 {
		t.Errorf("two findings alone move it to %.3f", few.LogSD)
	}
	for _, e := range []ModelError{honest, wild, tame, few, Learn(cases(400, 9))} {
		if e.Low < LeastLogSD-1e-9 || e.High > MostLogSD+1e-9 || e.LogSD < LeastLogSD || e.LogSD > MostLogSD {
			t.Errorf("%+v leaves its bounds", e)
		}
	}
}
