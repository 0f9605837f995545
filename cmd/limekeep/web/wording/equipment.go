package wording

import (
	"fmt"
)

// Equipment: what it is made of, adding to it and setting it up.
const (
	AnEspressoMachine                = "An espresso machine"
	WithTheWaterThatItGets           = "with the water that it gets"
	AddIt                            = "Add it"
	AddThisMachine                   = "Add this machine?"
	AGrinder                         = "A grinder"
	ForOneMachineOrForAll            = "for one machine, or for all"
	AddThisGrinder                   = "Add this grinder?"
	ACartridgeOrFilter               = "A cartridge or filter"
	WhereThereWasNoneOrBehindAnother = "where there was none, or behind another"
	AddThisCartridge                 = "Add this cartridge?"
	AWaterLine                       = "A water line"
	MainsOrATankWithItsTreatment     = "mains or a tank, with its treatment"
	AddThisWaterLine                 = "Add this water line?"
	Tools                            = "Tools"
	AScaleATamperAThermometer        = "a scale, a tamper, a thermometer"
	AddEquipment                     = "Add equipment"
	ChooseOneOrDoNotKnow             = "Choose one, or say that you do not know."
	AddThem                          = "Add them"
	AddTools                         = "Add tools"
	PleaseCorrectTools               = "Please correct: tools"
	ItHasLeftThePlace                = "It has left the place"
	TheMachineAsAWhole               = "The machine as a whole"
	PartByPart                       = "Part by part"
	WhatIsDoneToIt                   = "What is done to it"
	TheGroup                         = "Group"
	Pump                             = "Pump"
	SteamWand                        = "Steam wand"
	FirstDayAsks                     = "First this page asks about your machine: open the address again without anything behind it."
	NotFromThere                     = "Not from there"
	SetUpAtThisComputerAlone         = "A place is set up at the computer on which this runs, by a browser there."
	IsThisRight                      = "Is this right?"
	SetItUp                          = "Set it up"
	AnotherTask                      = "Another task"
	HowItCameToYou                   = "How it came to you, and its past"
	AnotherPartsPast                 = "Another part’s past"
	WhatADrinkTakes                  = "What a drink takes, and names of drinks"
	AnotherVessel                    = "Another vessel"
	AnotherGroup                     = "Another group"
	PumpControlAndParts              = "Pump, control and parts"
	LeftAsUsualOnMachines            = "What is left as usual is taken to be there where such machines have it."
	BurrsScaleAndParts               = "Burrs, scale and parts"
	AnotherTreatmentBehindThoseAbove = "Another treatment, behind those above"
	PartsOfTheLine                   = "Parts of the line"
	LeftAsUsualOnLines               = "What is left as usual is taken to be there where such lines have it."
	AllOfIt                          = "All of it"
	ChooseOne                        = "choose one"
	TakeThisAway                     = "Take this away"
	AddThis                          = "Add this"
	AsUsual                          = "as usual"
	ItHasOne                         = "it has one"
	ItHasNone                        = "it has none"
	NoTimer                          = "no timer"
	OnAt                             = "On at"
	OffAt                            = "Off at"
	AnotherTimer                     = "Another timer"
	ATimeOfDaySuchAsHalfPastSix      = "a time of day, such as 06:30"
	AnotherDrink                     = "Another drink"
	IDontKnow                        = "I don’t know"
	HowItIsSetUp                     = "How it is set up"
	ItIsSetUp                        = "It is set up"
)

// ThisIsAssumed says what is assumed where a question is left open.
func ThisIsAssumed(what string) string { return "this is assumed: " + what + "." }

// ChangeThing is the title of the page on which a piece of equipment is changed.
func ChangeThing(name string) string { return "Change " + name }

// RetireThing is the title of the page on which it leaves the place.
func RetireThing(name string) string { return "Retire " + name }

// GroupNamed is a group of a machine with several.
func GroupNamed(id string) string { return "Group " + id }

// GroupCalled is the same within a sentence.
func GroupCalled(id string) string { return "group " + id }

// TheWaterItself is what comes out of a supply.
func TheWaterItself(supply string) string { return supply + ", the water itself" }

// PastOf is the title of what is known of a part’s past.
func PastOf(part string) string { return "Past of " + part }

// Timer is one of several timers of a machine, from 1.
func Timer(n int) string { return fmt.Sprintf("Timer %d", n) }

// AsWrittenOnOff is a timer that says more than can be chosen on the page.
func AsWrittenOnOff(on, off string) string { return fmt.Sprintf("as written: on %s, off %s", on, off) }
