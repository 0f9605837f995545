package day

import (
	"testing"

	"limekeep/schedule/care"
)

// The order of the catalogue's tasks within a sitting, as the trade does them:
// detergent before the new gasket, descaling before the new cartridge, what
// needs the machine hot before what waits until it is cold. Common practice.
func TestOrderOfTheCatalogue(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	order := map[string]int{}
	for i := range catalogue.Tasks {
		if catalogue.Tasks[i].Who.Booked() {
			continue // it has no place in a sitting
		}
		order[catalogue.Tasks[i].ID] = orderOf(&catalogue.Tasks[i])
	}
	for _, c := range [][2]string{
		{"backflush-detergent", "group-gasket"}, {"soak-screen", "group-gasket"}, {"descale", "cartridge"},
		{"backflush-water", "descale"}, {"steam-refresh", "descale"}, {"backflush-detergent", "burr-cleaning"},
		{"burr-cleaning", "descale"}, {"water-test", "cartridge"},
	} {
		first, ok := order[c[0]]
		second, also := order[c[1]]
		if !ok || !also || first >= second {
			t.Errorf("%s stands at %d, %s at %d (known: %v, %v)", c[0], first, c[1], second, ok, also)
		}
	}
}
