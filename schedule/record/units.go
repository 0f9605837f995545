package record

// Units is in what an owner has volumes and temperatures told. Records hold litres and
// degrees Celsius whatever is chosen here.
type Units string

// In what volumes and temperatures are told.
const (
	Metric      Units = "metric" // litres and °C; what is meant where nothing was said
	USCustomary Units = "US"     // US gallons, quarts and fluid ounces, and °F
)

// Choices lists the words.
func (Units) Choices() []string { return []string{string(Metric), string(USCustomary)} }
