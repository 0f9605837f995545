package record

import "fmt"

// Prices are what things cost the owner, for answers that can be given in money.
type Prices struct {
	Currency     string  `json:"currency,omitempty"`      // such as EUR; shown behind each amount
	Hour         float64 `json:"hour,omitempty"`          // of the owner's own work; 0 where not said
	KilowattHour float64 `json:"kilowatt_hour,omitempty"` // of electricity
	Cartridge    float64 `json:"cartridge,omitempty"`     // a new one, for comparing waters
}

// Validate checks the amounts.
func (p Prices) Validate() error {
	return AllOf(
		name("currency", p.Currency, 8),
		optional("hour", p.Hour, 0.01, 1e5, "for an hour"),
		optional("kilowatt_hour", p.KilowattHour, 0.001, 1e4, "for a kilowatt-hour"),
		optional("cartridge", p.Cartridge, 0.01, 1e5, "for a cartridge"),
	)
}

// Costs returns the prices; nothing where nobody said.
func (p Place) Costs() Prices {
	if p.Prices == nil {
		return Prices{}
	}
	return *p.Prices
}

// Money writes an amount with its currency.
func (p Prices) Money(amount float64) string {
	text := fmt.Sprintf("%.2f", amount)
	if p.Currency != "" {
		text += " " + p.Currency
	}
	return text
}
