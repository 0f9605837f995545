package wear

import (
	"math"

	"limekeep/schedule/record"
	"limekeep/water/deposit"
	"limekeep/water/figure"
	"limekeep/water/steam"
)

// vesselShape is a vessel with all its figures, the owner's where given and
// sensible ones of its kind where not.
type vesselShape struct {
	kind        record.VesselKind
	litres      float64
	watts       float64
	celsius     float64 // of the water
	wallCelsius float64 // where scale forms
	areaCm2     float64 // heated wall
	wallShare   float64 // share of the deposit that lies on it
	shellCm2    float64 // the rest of what its water touches
	boreMM      float64 // smallest bore on the way to the cup; 0 where unknown
	guessedArea bool    // the heated wall is that of its kind, not the owner's figure
	guessedSize bool    // so is the volume
}

// Sizes of vessels whose owner does not know them. Common practice.
var usualVessels = map[record.VesselKind]map[record.Setting]vesselShape{
	record.BrewBoiler: {
		record.Home: {litres: 0.5, watts: 1000, celsius: 93},
		record.Bar:  {litres: 1.5, watts: 1500, celsius: 93},
	},
	record.SteamBoiler: {
		record.Home: {litres: 1.5, watts: 1400, celsius: 125},
		record.Bar:  {litres: 8, watts: 4000, celsius: 122},
	},
	record.HeatExchanger: {
		record.Home: {litres: 0.25, watts: 1400, celsius: 93},
		record.Bar:  {litres: 0.4, watts: 4000, celsius: 93},
	},
	record.Thermoblock: {
		record.Home: {litres: 0.05, watts: 1200, celsius: 93},
		record.Bar:  {litres: 0.1, watts: 2000, celsius: 93},
	},
}

// UsualLitres is the volume of a vessel whose owner does not know it.
func UsualLitres(kind record.VesselKind, setting record.Setting) float64 {
	return usualVessels[kind][setting].litres
}

// UsualWatts is the power of a vessel's heater whose owner does not know it.
func UsualWatts(kind record.VesselKind, setting record.Setting) float64 {
	return usualVessels[kind][setting].watts
}

const (
	// Heat flux of an immersed element: 100 kW/m². Common practice.
	elementWattsPerCm2 = 10.0
	elementKWPerM2     = 10 * elementWattsPerCm2
	// Wall over water at that flux and about 8 kW/(m²K) of a stirred film.
	// Assumption.
	wallExcessKelvin = 12.0
	// A heat exchanger's wall is about as hot as the steam around it.
	exchangerWallCelsius = 118.0
	// Bores of the channel in a heat exchanger and a thermoblock. Assumptions.
	exchangerBoreCm   = 1.0
	thermoblockBoreCm = 0.4
	// Share of the deposit that lies on the heated wall; the rest on the shell
	// and as sludge. Assumption.
	elementShare = 0.7
	// Water passes the group at about the yield and the puck's share in a
	// shot's time: 54 g in 30 s. Common practice.
	brewLitresPerSecond = 0.0018
)

// shapeOf completes a vessel's figures. A gauge pressure has been checked to
// lie within what a boiler has.
func shapeOf(v record.Vessel, setting record.Setting) (vesselShape, error) {
	s := usualVessels[v.Kind][setting]
	s.kind = v.Kind
	s.guessedSize = v.Litres == 0
	s.guessedArea = v.Watts == 0
	if v.Litres > 0 {
		s.litres = v.Litres
	}
	if v.Watts > 0 {
		s.watts = v.Watts
	}
	switch {
	case v.Celsius > 0:
		s.celsius = v.Celsius
	case v.GaugeBar > 0:
		celsius, err := boilingCelsius(v.GaugeBar)
		if err != nil {
			return vesselShape{}, err
		}
		s.celsius = celsius
	}
	const cm3PerLitre = 1000
	s.areaCm2, s.wallShare, s.wallCelsius = s.watts/elementWattsPerCm2, elementShare, s.celsius+wallExcessKelvin
	// A shell as high as it is wide: 2πr³ of water within 6πr² of metal.
	s.shellCm2 = 6 * math.Pi * math.Pow(s.litres*cm3PerLitre/(2*math.Pi), 2.0/3)
	s.boreMM = v.OrificeMM
	switch v.Kind {
	case record.HeatExchanger:
		s.guessedArea = s.guessedSize
		// A tube's wall is 4/d of its volume.
		s.areaCm2, s.wallShare, s.wallCelsius = 4*s.litres*cm3PerLitre/exchangerBoreCm, 1, max(exchangerWallCelsius, s.celsius)
	case record.Thermoblock:
		s.guessedArea = s.guessedSize
		s.areaCm2, s.wallShare = 4*s.litres*cm3PerLitre/thermoblockBoreCm, 1
	}
	s.wallCelsius = min(s.wallCelsius, 140)
	return s, nil
}

// Celsius returns the temperature of a vessel's water, that of its kind where its
// owner does not know it; 0 for a pressure that no boiler has.
func Celsius(v record.Vessel, setting record.Setting) float64 {
	s, err := shapeOf(v, setting)
	if err != nil {
		return 0
	}
	return s.celsius
}

// boilingCelsius turns a steam gauge's reading into the temperature of the
// water under it, at the air pressure of sea level.
func boilingCelsius(gaugeBar float64) (float64, error) {
	const (
		airBar          = 1.01325
		megapascalOfBar = 0.1
		zeroCelsius     = 273.15
	)
	kelvin, err := steam.SaturationTemperature((gaugeBar + airBar) * megapascalOfBar)
	return kelvin - zeroCelsius, err
}

// guessLogSD is how far vessels of a kind lie apart, as a log standard
// deviation of wall and volume, where the owner does not know them. Assumption.
const guessLogSD = 0.35

// guesses draws the factor on a figure of the vessel, by world: 1 where the
// owner knows it.
func guesses(d Draws, block, name string, guessed bool) []float64 {
	if guessed {
		return figure.LogNormal(d.Uniforms(block, name), guessLogSD)
	}
	known := make([]float64, d.Worlds)
	for w := range known {
		known[w] = 1
	}
	return known
}

// layers draws how thick a gram of deposit lies, by world: on the heated wall,
// and away from it. Porosity and the size of an unknown vessel spread it.
func (s vesselShape) layers(d Draws, block string) (wall, shell []float64) {
	wall, shell = d.Uniforms(block, "porosity"), make([]float64, d.Worlds)
	area := guesses(d, block, "wall", s.guessedArea)
	for w, u := range wall {
		porosity := usualPorosity.At(u)
		wall[w], shell[w] = s.mmPerGram(porosity)/area[w], s.shellMMPerGram(porosity)/area[w]
	}
	return wall, shell
}

// usualPorosity is the share of water in scale. Common practice.
var usualPorosity = figure.Percentiles{Low: 0.1, Likely: 0.25, High: 0.4}

// scaleConductivity is that of scale, W/(m·K). Common practice.
var scaleConductivity = figure.Percentiles{Low: 0.8, Likely: 1.2, High: 2.0}

// immersed tells whether an electric element lies in the vessel's own water: in
// a heat exchanger steam heats the wall, and a thermoblock's is cast in metal.
func (s vesselShape) immersed() bool {
	return s.kind == record.BrewBoiler || s.kind == record.SteamBoiler
}

// mmPerGram gives the thickness on the heated wall for each gram deposited.
func (s vesselShape) mmPerGram(porosity float64) float64 {
	return deposit.ScaleThicknessMM(s.wallShare, s.areaCm2, min(porosity, 0.8))
}

// shellMMPerGram gives the thickness away from the heated wall for each gram
// deposited; a bore on the way out gathers as much (assumption). Where all lies
// on the wall the bore gathers what the wall does.
func (s vesselShape) shellMMPerGram(porosity float64) float64 {
	if s.wallShare == 1 {
		return s.mmPerGram(porosity)
	}
	return deposit.ScaleThicknessMM(1-s.wallShare, s.shellCm2, min(porosity, 0.8))
}

// brews tells whether the vessel's water goes through the group.
func (s vesselShape) brews() bool { return s.kind != record.SteamBoiler }

// residenceSeconds is how long water stays while a shot runs; forever in a
// boiler, where it stands between shots.
func (s vesselShape) residenceSeconds() (seconds float64, passing bool) {
	if s.kind == record.HeatExchanger || s.kind == record.Thermoblock {
		return s.litres / brewLitresPerSecond, true
	}
	return 0, false
}

// precipitationSeconds is the time constant of precipitation at a wall that
// water passes, log-uniform. Assumption.
const (
	precipitationSecondsLow  = 5.0
	precipitationSecondsHigh = 120.0
)
