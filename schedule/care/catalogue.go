package care

import (
	"bytes"
	_ "embed"
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"
)

// Catalogue is the whole of what can be cared for.
type Catalogue struct {
	Hazards []Hazard `yaml:"hazards"`
	Tasks   []Task   `yaml:"tasks"`
}

//go:embed catalogue.yaml
var embedded []byte

// Embedded reads the catalogue that comes with the program.
func Embedded() (*Catalogue, error) { return Parse(embedded) }

// Parse reads a catalogue strictly: an unknown field, or a task that is not
// complete, is an error that names it.
func Parse(data []byte) (*Catalogue, error) {
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	decoder.KnownFields(true)
	var c Catalogue
	if err := decoder.Decode(&c); err != nil {
		return nil, fmt.Errorf("the care catalogue cannot be read: %w", err)
	}
	if err := c.check(); err != nil {
		return nil, fmt.Errorf("the care catalogue: %w", err)
	}
	return &c, nil
}

// Cautions gives the cautions of a task, in its own order.
func (c *Catalogue) Cautions(t *Task) []string {
	var cautions []string
	for _, id := range t.Hazards {
		for _, h := range c.Hazards {
			if h.ID == id {
				cautions = append(cautions, h.Caution)
			}
		}
	}
	return cautions
}

func (c *Catalogue) check() error {
	var seen []string
	for i := range c.Tasks {
		t := &c.Tasks[i]
		if t.ID == "" || slices.Contains(seen, t.ID) {
			return fmt.Errorf("task %d: its id %q is empty or used twice", i+1, t.ID)
		}
		seen = append(seen, t.ID)
		if err := c.checkTask(t); err != nil {
			return fmt.Errorf("task %s: %w", t.ID, err)
		}
	}
	return nil
}

func (c *Catalogue) checkTask(t *Task) error {
	switch {
	case t.Title == "":
		return fmt.Errorf("it has no title")
	case !slices.Contains([]Per{PerMachine, PerGroup, PerVessel, PerCartridge, PerGrinder, PerLine}, t.Per):
		return fmt.Errorf("per %q is not a part", t.Per)
	case !slices.Contains([]Who{Owner, HandyOwner, Licensed}, t.Who):
		return fmt.Errorf("who %q is nobody", t.Who)
	case !slices.Contains([]Findings{FindsNothing, FindsScale, FindsPart}, t.Findings):
		return fmt.Errorf("findings %q are not known", t.Findings)
	case len(t.Gauges) == 0:
		return fmt.Errorf("it has no gauge")
	case len(t.Hazards) == 0 || len(t.MakeSafe) == 0:
		return fmt.Errorf("it names no hazard, or does not say how to make safe")
	case t.Who == Licensed && len(t.Steps) > 0:
		return fmt.Errorf("licensed work is booked, never explained")
	case t.Who != Licensed && len(t.Steps) == 0:
		return fmt.Errorf("it has no steps")
	case t.Minutes <= 0:
		return fmt.Errorf("it takes no time")
	}
	for _, id := range t.Hazards {
		if !slices.ContainsFunc(c.Hazards, func(h Hazard) bool { return h.ID == id && h.Caution != "" }) {
			return fmt.Errorf("hazard %q has no caution", id)
		}
	}
	for _, g := range t.Gauges {
		if err := g.check(); err != nil {
			return fmt.Errorf("gauge %q: %w", g.Name, err)
		}
	}
	return nil
}

func (g Gauge) check() error {
	drivers := []Driver{ByShots, ByKilograms, ByDays, BySealHours, ByScaleThickness, ByScaleMass, ByExchange, ByLitres, ByWaterDoubt, ByBoilerChloride, ByBoilerAlkalinity, ByBoilerSolids, ByOrificeLoss}
	if !slices.Contains(drivers, g.Driver) {
		return fmt.Errorf("driver %q is not known", g.Driver)
	}
	if g.Name == "" || g.Unit == "" || len(g.Limits) == 0 {
		return fmt.Errorf("it has no name, no unit or no limit")
	}
	for _, l := range g.Limits {
		if l.Low <= 0 || l.Usual < l.Low || l.High < l.Usual {
			return fmt.Errorf("limits %v, %v, %v do not rise from above 0", l.Low, l.Usual, l.High)
		}
		if l.Source == "" {
			return fmt.Errorf("a limit has no source")
		}
	}
	return nil
}
