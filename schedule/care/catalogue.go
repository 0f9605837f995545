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
	Hazards []Hazard    `yaml:"hazards"`
	Orders  []SafeOrder `yaml:"orders"`
	Tasks   []Task      `yaml:"tasks"`
}

//go:embed catalogue.yaml
var embedded []byte

// Embedded reads the catalogue that comes with the program, quickly where it was
// compiled since it was last changed.
func Embedded() (*Catalogue, error) {
	if c, ok := compiledOf(compiled, embedded); ok {
		return c, nil
	}
	return Parse(embedded)
}

// Parse reads a catalogue strictly: an unknown field, or a task that is not
// complete, is an error that names it.
func Parse(data []byte) (*Catalogue, error) {
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	decoder.KnownFields(true)
	var c Catalogue
	if err := decoder.Decode(&c); err != nil {
		return nil, fmt.Errorf("the care catalogue cannot be read: %w", err)
	}
	if err := c.putOrdersIn(); err != nil {
		return nil, fmt.Errorf("the care catalogue: %w", err)
	}
	if err := c.check(); err != nil {
		return nil, fmt.Errorf("the care catalogue: %w", err)
	}
	return &c, nil
}

// putOrdersIn lays the lines of the order a task names before its own, so that
// nothing after this needs to know of orders.
func (c *Catalogue) putOrdersIn() error {
	for i := range c.Orders {
		o := &c.Orders[i]
		if o.ID == "" || len(o.Lines) == 0 || slices.ContainsFunc(c.Orders[:i], func(other SafeOrder) bool { return other.ID == o.ID }) {
			return fmt.Errorf("order %q has no id, no lines, or stands there twice", o.ID)
		}
	}
	for i := range c.Tasks {
		t := &c.Tasks[i]
		if t.Order == "" {
			continue
		}
		k := slices.IndexFunc(c.Orders, func(o SafeOrder) bool { return o.ID == t.Order })
		if k < 0 {
			return fmt.Errorf("task %s: order %q is not one of the orders to make safe", t.ID, t.Order)
		}
		t.MakeSafe = slices.Concat(c.Orders[k].Lines, t.MakeSafe)
	}
	return nil
}

// Cautions gives the cautions of a task, in its own order.
func (c *Catalogue) Cautions(t *Task) []string {
	cautions := slices.Clone(t.Cautions)
	for _, id := range t.Hazards {
		for _, h := range c.Hazards {
			if h.ID == id {
				cautions = append(cautions, h.Caution)
			}
		}
	}
	return cautions
}

// isWayOf tells whether a task is another way of the one before it, for other parts
// of the same sort: they share the id, and the first that fits a part is taken.
func (t *Task) isWayOf(before *Task) bool {
	return t.ID == before.ID && t.Per == before.Per && len(t.When)+len(t.Unless) > 0
}

func (c *Catalogue) check() error {
	var seen []string
	for _, h := range c.Hazards {
		if h.ID == "" || slices.Contains(seen, h.ID) {
			return fmt.Errorf("hazard %q has no id or stands there twice", h.ID)
		}
		seen = append(seen, h.ID)
	}
	seen = nil
	for i := range c.Tasks {
		t := &c.Tasks[i]
		if t.ID == "" || slices.Contains(seen, t.ID) && !t.isWayOf(&c.Tasks[i-1]) {
			return fmt.Errorf("task %d: its id %q is empty or used twice", i+1, t.ID)
		}
		seen = append(seen, t.ID)
		if err := c.checkTask(t); err != nil {
			return fmt.Errorf("task %s: %w", t.ID, err)
		}
	}
	return nil
}
