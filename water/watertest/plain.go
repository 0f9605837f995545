package watertest

import "limekeep/water"

// Plain is a middling mains water, balanced in charge to 1 %.
var Plain = water.Analysis{
	MeasuredCelsius: 15, PH: 7.6, CalciumMgPerKg: 60, MagnesiumMgPerKg: 10,
	SodiumMgPerKg: 12, PotassiumMgPerKg: 2, AlkalinityMgPerKgCaCO3: 150,
	ChlorideMgPerKg: 20, SulfateMgPerKg: 33, NitrateMgPerKg: 9, SilicaMgPerKg: 8,
}
