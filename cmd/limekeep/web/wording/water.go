package wording

import (
	"fmt"
)

// Water tests, and comparing waters.
const (
	ShareThatGoesRound          = "share that goes round"
	ComparingWaters             = "Comparing waters"
	Compare                     = "Compare"
	SharesRoundTheCartridge     = "Shares that go round the cartridge, %"
	SharesRoundTheCartridgeHint = "parted by spaces, such as 0 30 50; left open for what is usual"
	PriceOfACartridge           = "Price of a cartridge"
	OverFiveYears               = "over five years"
	DropTest                    = "Drop test"
	Meter                       = "Meter"
	ByDropTest                  = "by drop test"
	ByMeter                     = "by meter"
	ByTestStrip                 = "by test strip"
	ByLaboratory                = "by a laboratory or supplier"
	TestStrip                   = "Test strip"
	LaboratoryOrSuppliersReport = "Laboratory or supplier’s report"
	DissolvedSolids             = "Dissolved solids"
	Hardness                    = "Hardness"
	Alkalinity                  = "Alkalinity (carbonate hardness)"
	ConductivityAt25Celsius     = "Conductivity at 25 °C"
	MgPerLAsHCO                 = "mg/L as HCO₃"
	MgPerLAsN                   = "mg/L as N"
	GrainsPerUSGallonShort      = "gpg (grains per US gallon)"
	OnThePHScale                = "on the pH scale"
	WhereHardnessGoes           = "Where the hardness of the next litre goes"
	DrinksHotWaterAndDrains     = "drinks, hot water and drains"
	HeldBackByTheTreatment      = "held back by the treatment"
	BeforeTreatment             = "before treatment"
	EachTestWithItsSpread       = "Each test with the spread of the way it was measured."
	AnotherValue                = "Another value"
	Quantity                    = "Quantity"
	None                        = "none"
	Unit                        = "Unit"
	MeasuredWith                = "Measured with"
	Value                       = "Value"
	UpToOfAStrip                = "Up to, where a strip shows a range"
	OneDropIsWorth              = "One drop is worth, where the value is drops counted"
	GiveTheValue                = "another value: give the value, or choose no quantity"
	ChooseWhatWasMeasured       = "another value: choose what was measured, or clear the value"
	WorthOfADrop                = "worth of a drop"
	WorthOfADropMeans           = "what a drop is worth goes with a drop test: choose that it was measured so, and give a number above 0"
	RangeEndsAbove              = "a range ends above where it begins, and is no number of drops"
	WriteDownAWaterTest         = "Write down a water test"
	DayOfTheSample              = "Day of the sample"
	WhereTheSampleWasTaken      = "Where the sample was taken"
	TemperatureAtPH             = "Temperature of the water when its pH was measured, °C"
	FifteenIsTakenWhereLeftOpen = "15 °C is taken where left open"
	PleaseCorrectWaterTest      = "Please correct: water test"
)

// PH is the quantity’s name as it is always written.
const PH = "pH"

// OverSixty is more months than are worked out.
const OverSixty = "over 60"

// MonthsBetween is how often something comes, with its spread.
func MonthsBetween(likely, low, high string) string {
	return fmt.Sprintf("%s months (%s to %s)", likely, low, high)
}

// AsTested is the title of a picture of tests.
func AsTested(quantity string) string { return quantity + " as tested" }

// BehindStage is a place in a water line.
func BehindStage(stage string) string { return "behind the " + stage }

// BehindStageFirst is the same at the beginning of a sentence.
func BehindStageFirst(stage string) string { return "Behind the " + stage }

// BehindWhat is the same of what is not there any more.
func BehindWhat(id string) string { return "behind " + id }

// BeforeAnyTreatment is where a supply comes in.
func BeforeAnyTreatment(supply string) string {
	return fmt.Sprintf("Before any treatment (%s)", supply)
}

// StandsInAnotherRow says that a quantity was given twice.
func StandsInAnotherRow(quantity string) string {
	return quantity + " stands in another row already; write a repeat down as a test of its own"
}

// DoesNotFit says which of several values no water explains.
func DoesNotFit(quantity string) string {
	return quantity + " does not fit the other values; measure it again"
}

// ScaleIn is the hardness that stays in a vessel.
func ScaleIn(vessel string) string { return "scale in " + vessel }

// ScaleInOneOf is the same where several machines have vessels.
func ScaleInOneOf(vessel, machine string) string { return "scale in " + vessel + ", " + machine }

// MeasuredBy tells a measured value with the way it was measured.
func MeasuredBy(value, method string) string {
	if method == "" {
		return value
	}
	return value + " " + method
}

// WaterOfDistrict says that a test is of the water that a place shares with others.
func WaterOfDistrict(district string) string {
	return "water of the district " + district
}
