package record

import (
	"fmt"
	"slices"
)

// Tools is what stands beside the machine and needs a look of its own.
type Tools struct {
	Setting Setting `json:"setting"`
	Have    []Tool  `json:"have"`
}

// Tool is one of them.
type Tool string

// Tools of the trade.
const (
	WeighingScale Tool = "scale"
	Tamper        Tool = "tamper"
	Thermometer   Tool = "thermometer"
)

// Choices lists the tools.
func (Tool) Choices() []string {
	return []string{string(WeighingScale), string(Tamper), string(Thermometer)}
}

// Validate checks that there is at least one tool, and each of them once.
func (t Tools) Validate() error {
	if err := choice("setting", string(t.Setting), t.Setting.Choices()); err != nil {
		return err
	}
	if len(t.Have) == 0 {
		return &FieldError{Field: "have", Want: "at least one of scale, tamper, thermometer"}
	}
	for i, tool := range t.Have {
		if err := choice(fmt.Sprintf("have[%d]", i), string(tool), tool.Choices()); err != nil {
			return err
		}
		if slices.Contains(t.Have[:i], tool) {
			return &FieldError{Field: fmt.Sprintf("have[%d]", i), Value: string(tool), Want: "each tool once"}
		}
	}
	return nil
}
