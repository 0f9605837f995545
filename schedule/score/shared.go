package score

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Shared is a score without names, for others: no place, no equipment, no notes and
// no days but the month since when it is kept.
type Shared struct {
	Format   string        `json:"format"` // SharedFormat
	Version  int           `json:"version"`
	Since    string        `json:"since"` // year and month of the first forecast; empty for none
	Cases    []SharedCase  `json:"cases"`
	Evidence []SharedFound `json:"evidence"`
}

// SharedFormat names a file of a shared score, SharedVersion its present form.
const (
	SharedFormat  = "limekeep score"
	SharedVersion = 1
)

// SharedCase is a case without names.
type SharedCase struct {
	Care    string          `json:"care"`
	Kind    wear.ExpectedOf `json:"kind"`
	Stretch Stretch         `json:"stretch"`
	Answers int             `json:"answers"` // how many findings there could have been; 0 of a number
	Chance  float64         `json:"chance"`
	Score   float64         `json:"score"`
	Maker   *float64        `json:"maker"`
}

// SharedFound is a finding with how much had gathered by then, and the limit that
// the catalogue had.
type SharedFound struct {
	Thing  int                `json:"thing"` // numbers the parts and vessels of the file, from 1
	Part   int                `json:"part"`  // how many parts came before
	Care   string             `json:"care"`
	Kind   wear.ExpectedOf    `json:"kind"` // part or scale
	Gauge  string             `json:"gauge"`
	Unit   string             `json:"unit"`
	Limit  figure.Percentiles `json:"limit"`            // of the catalogue; of scale, the share of what the water could lay down that stays
	Amount figure.Percentiles `json:"amount"`           // that had gathered, in the unit of the limit; of scale, the grams that could have been laid down
	EyeMM  float64            `json:"eye_mm,omitempty"` // of scale: mm on the wall for each gram
	Found  record.Finding     `json:"found,omitempty"`  // by looking
	Grams  float64            `json:"grams,omitempty"`  // that came off
}

// Bounds of a shared file: far beyond what a place can have.
const (
	mostSharedBytes = 4 << 20
	mostShared      = 5000 // cases
	mostEvidence    = 1000 // findings
	mostAmount      = 1e9
	mostName        = 60
)

// Share leaves the names out of a score. What came of findings is told of outcomes
// that a forecast of the same day has.
func Share(s Score, outcomes []wear.Outcome) Shared {
	shared := Shared{Format: SharedFormat, Version: SharedVersion, Cases: []SharedCase{}, Evidence: []SharedFound{}}
	if s.Since != nil {
		shared.Since = s.Since.String()[:len("2006-01")]
	}
	for _, c := range s.Cases {
		shared.Cases = append(shared.Cases, SharedCase{Care: c.Care, Kind: c.Kind, Stretch: c.Stretch, Answers: len(c.Chances), Chance: c.Chance, Score: c.Score, Maker: c.Maker})
	}
	thing := 0
	for _, x := range outcomes {
		if x.Learned == nil || x.Duty.Task == nil || x.Duty.Own || len(x.Duty.Gauges) == 0 || x.Duty.Gauges[0].Instead != "" {
			continue // another figure than the catalogue's was held against it
		}
		g := x.Duty.Gauges[0]
		thing++
		for _, o := range x.Learned.Observed {
			f := SharedFound{
				Thing: thing, Part: o.Part, Care: x.Duty.Task.ID, Kind: wear.ExpectedPart, Gauge: g.Name, Unit: g.Unit,
				Limit: g.Limit.Percentiles(), Amount: o.Amount, Found: o.Found.Finding, Grams: o.Found.Grams,
			}
			for _, e := range x.Expected {
				if e.Of == wear.ExpectedScale {
					f.Kind, f.EyeMM, f.Gauge, f.Unit, f.Limit = e.Of, e.EyeMM, SharedMultiplier, "share", wear.PlainMultiplier()
				}
			}
			if f.check() == nil {
				shared.Evidence = append(shared.Evidence, f)
			}
		}
	}
	return shared
}

// SharedMultiplier names what findings of scale speak of: no limit, but how much of
// what the water could lay down stays in a vessel.
const SharedMultiplier = "share of the possible scale that stays"

// ReadShared reads a shared score strictly. Whatever is not as Share writes it, or
// cannot be, is an error that says where: a *record.FieldError.
func ReadShared(r io.Reader) (Shared, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostSharedBytes+1))
	if err != nil {
		return Shared{}, err
	}
	if len(data) > mostSharedBytes {
		return Shared{}, &record.FieldError{Field: "score", Value: "more than 4 MiB", Want: "a file in which a place shares its score"}
	}
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	var s Shared
	if err := decoder.Decode(&s); err != nil {
		value := "what stands there"
		if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
			value = "the field " + strings.Trim(name, `"`)
		}
		return Shared{}, &record.FieldError{Field: "score", Value: value, Want: "a file in which a place shares its score"}
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return Shared{}, &record.FieldError{Field: "score", Value: "more behind its end", Want: "one score a file"}
	}
	return s, s.check()
}

func (s Shared) check() error {
	refuse := func(field string, value any, want string) error {
		return &record.FieldError{Field: field, Value: fmt.Sprint(value), Want: want}
	}
	switch {
	case s.Format != SharedFormat:
		return refuse("format", s.Format, fmt.Sprintf("%q", SharedFormat))
	case s.Version != SharedVersion:
		return refuse("version", s.Version, fmt.Sprintf("version %d; a newer one needs a newer limekeep", SharedVersion))
	case len(s.Cases) > mostShared:
		return refuse("cases", len(s.Cases), fmt.Sprintf("%d at the most", mostShared))
	case len(s.Evidence) > mostEvidence:
		return refuse("evidence", len(s.Evidence), fmt.Sprintf("%d at the most", mostEvidence))
	case s.Since != "":
		if _, err := record.ParseDate(s.Since + "-01"); err != nil {
			return refuse("since", s.Since, "a year and month, such as 2026-03")
		}
	}
	for i, c := range s.Cases {
		if what := c.wrong(); what != "" {
			return refuse(fmt.Sprintf("cases[%d].%s", i, what), "", "a value as a shared score has it")
		}
	}
	for i, f := range s.Evidence {
		if err := f.check(); err != nil {
			return refuse(fmt.Sprintf("evidence[%d].%s", i, err), "", "a value as a shared score has it")
		}
	}
	return nil
}

// wrong names the first field that cannot be; empty for none.
func (c SharedCase) wrong() string {
	switch {
	case !plainID(c.Care):
		return "care"
	case !slices.Contains([]wear.ExpectedOf{wear.ExpectedPart, wear.ExpectedScale, wear.ExpectedCheck, wear.ExpectedWater}, c.Kind):
		return "kind"
	case !(c.Stretch.From >= 0 && c.Stretch.From <= c.Stretch.To && c.Stretch.To <= 1):
		return "stretch"
	case c.Answers < 0 || c.Answers > 4 || c.Answers == 1:
		return "answers"
	case !(c.Chance >= 0 && c.Chance <= 1):
		return "chance"
	case !(c.Score >= 0 && c.Score <= mostAmount):
		return "score"
	case c.Maker != nil && !(*c.Maker >= 0 && *c.Maker <= mostAmount):
		return "maker"
	}
	return ""
}

// check returns an error that is the name of the first field that cannot be.
func (f SharedFound) check() error {
	wrong := func(field string) error { return errors.New(field) }
	switch {
	case f.Thing < 1 || f.Thing > mostEvidence:
		return wrong("thing")
	case f.Part < 0 || f.Part > mostEvidence:
		return wrong("part")
	case !plainID(f.Care):
		return wrong("care")
	case f.Kind != wear.ExpectedPart && f.Kind != wear.ExpectedScale:
		return wrong("kind")
	case !plainText(f.Gauge):
		return wrong("gauge")
	case !plainText(f.Unit):
		return wrong("unit")
	case !rising(f.Limit) || f.Limit.Low <= 0:
		return wrong("limit")
	case !rising(f.Amount) || f.Amount.Low < 0:
		return wrong("amount")
	case f.Kind == wear.ExpectedScale && !(f.EyeMM > 0 && f.EyeMM < 100), f.Kind == wear.ExpectedPart && f.EyeMM != 0:
		return wrong("eye_mm")
	case !(f.Grams >= 0 && f.Grams <= 5000) || f.Grams > 0 && f.Kind != wear.ExpectedScale:
		return wrong("grams")
	}
	known := record.PartFindings()
	if f.Kind == wear.ExpectedScale {
		known = append(record.ScaleFindings(), "")
	}
	if !slices.Contains(known, string(f.Found)) || f.Found == "" && f.Grams == 0 {
		return wrong("found")
	}
	return nil
}

// rising reports whether percentiles are numbers in their order.
func rising(p figure.Percentiles) bool {
	return p.Low <= p.Likely && p.Likely <= p.High && p.Low >= 0 && p.High <= mostAmount && !math.IsNaN(p.Likely)
}

// plainID reports whether a text is an id as the catalogue has them.
func plainID(text string) bool {
	return text != "" && len(text) <= mostName && !slices.ContainsFunc([]rune(text), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-'
	})
}

// plainText reports whether a text is plain words, as names of gauges and units
// are, so that it can be shown as it stands.
func plainText(text string) bool {
	return text != "" && len(text) <= 2*mostName && !slices.ContainsFunc([]rune(text), func(r rune) bool {
		return r < ' ' || r > '~' && r != '°' && r != '²' && r != '³' && r != 'µ' || r == '<' || r == '>'
	})
}
