package record

import "slices"

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
	return AllOf(
		choice("setting", string(t.Setting), t.Setting.Choices()),
		refuse(len(t.Have) == 0, "have", "", "at least one of scale, tamper, thermometer"),
		eachWord("have", t.Have, func(name string, tool Tool, before []Tool) error {
			return AllOf(choice(name, string(tool), tool.Choices()), refuse(slices.Contains(before, tool), name, tool, "each tool once"))
		}),
	)
}
