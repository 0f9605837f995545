package care

// Task is a kind of care as the catalogue describes it.
type Task struct {
	ID       string   `yaml:"id"`
	Title    string   `yaml:"title"` // "{part}" stands for the part's own name
	Per      Per      `yaml:"per"`
	When     []string `yaml:"when"`   // words that must all be true of the part
	Unless   []string `yaml:"unless"` // words of which none may be true
	Who      Who      `yaml:"who"`
	Minutes  float64  `yaml:"minutes"` // the work takes, cooling not counted
	Needs    []string `yaml:"needs"`   // state the work starts from
	Findings Findings `yaml:"findings"`
	Gauges   []Gauge  `yaml:"gauges"`
	Hazards  []string `yaml:"hazards"` // ids, worst first
	Parts    []string `yaml:"parts"`   // parts, consumables and tools
	MakeSafe []string `yaml:"make_safe"`
	Steps    []string `yaml:"steps"`
	Refuse   string   `yaml:"refuse"` // when the owner must not do it
	Good     string   `yaml:"good"`   // what a good result looks like
}

// Per tells what there is one task for.
type Per string

// What a task can be bound to.
const (
	PerMachine   Per = "machine"
	PerGroup     Per = "group"
	PerVessel    Per = "vessel"
	PerCartridge Per = "cartridge"
	PerGrinder   Per = "grinder"
	PerLine      Per = "line"
)

// Who may do the work.
type Who string

// Those who may do the work. Local codes decide where they say more.
const (
	Owner      Who = "owner"
	HandyOwner Who = "handy owner"
	Licensed   Who = "licensed"
)

// Findings names the kind of finding a task records.
type Findings string

// Kinds of findings.
const (
	FindsNothing Findings = "none"
	FindsScale   Findings = "scale"
	FindsPart    Findings = "part"
)

// Gauge is one measure of wear as the catalogue describes it.
type Gauge struct {
	Name   string  `yaml:"name"`
	Driver Driver  `yaml:"driver"`
	Unit   string  `yaml:"unit"` // of the limits
	Limits []Limit `yaml:"limits"`
}

// Driver is what moves a gauge.
type Driver string

// Drivers of gauges.
const (
	ByShots          Driver = "shots"
	ByKilograms      Driver = "kilograms"
	ByDays           Driver = "days"
	BySealHours      Driver = "seal hours"
	ByScaleThickness Driver = "scale thickness"
	ByScaleMass      Driver = "scale mass"
	ByExchange       Driver = "exchange"
	ByLitres         Driver = "litres"
	ByWaterDoubt     Driver = "water doubt"
)

// Limit is where a gauge reads 1. One part in ten is there at Low, half at
// Usual, nine in ten at High.
type Limit struct {
	For    []string `yaml:"for"` // words that must all be true of the part
	Low    float64  `yaml:"low"`
	Usual  float64  `yaml:"usual"`
	High   float64  `yaml:"high"`
	Source string   `yaml:"source"` // where the figures come from
}

// Hazard is a way to get hurt and the caution against it.
type Hazard struct {
	ID      string `yaml:"id"`
	Caution string `yaml:"caution"`
}
