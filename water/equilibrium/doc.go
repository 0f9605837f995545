// Package equilibrium is the chapter on what is dissolved in water, in which
// form, and what falls out when the water is heated or boiled down.
//
// # What is computed
//
// Solver.Speciate turns a laboratory's analysis into a Solution: the activities
// of the ions, their pairs counted, and the total carbon that pH and alkalinity
// imply. From then on totals are what counts, since a closed vessel conserves
// them: Solver.Equilibrate gives the pH at any other temperature,
// Solution.SaturationIndex how far each Mineral is from forming,
// Solver.ClosedPrecipitation and Solver.OpenPrecipitation how much calcite
// would, Solver.Evaporate what boiling down at a known pressure of CO2 leaves,
// and Solver.SteamPrecipitation what is left where CO2 goes with the steam, so
// that its pressure is a result.
//
// The components are Ca, Mg, Na, K, H, CO3, SO4, Cl, NO3 and SiO2 with fifteen
// pairs and complexes, from 0 to 140 °C, to an ionic strength of about 0.5
// mol/kg. Water is under one atmosphere, above 100 °C under the pressure of
// its own steam.
//
// # Sources
//
// Equilibrium constants by temperature, ion sizes and the form of the activity
// coefficients are those of the database phreeqc.dat (Parkhurst and Appelo
// 2013, USGS Techniques and Methods 6-A43), which takes them from the papers
// named beside each figure; brucite is from wateq4f.dat. The activity model is
// that of Truesdell and Jones (1974), with Davies' equation for ions without a
// size. The slope of the limiting law is computed from the permittivity of
// water by Bradley and Pitzer (1979), its density by Kell (1975) and its vapour
// pressure by the IAPWS-IF97.
//
// # How
//
// At a given ionic strength the mass balances are the gradient of a convex
// function of the logarithms of three activities (H+, CO3-2, SO4-2); Newton's
// method with a line search finds its one minimum. Solids at saturation, or a
// held pressure of CO2, tie those logarithms together and leave a smaller
// problem of the same kind. Around it a secant search finds the ionic
// strength.
//
// # Checks
//
// USGS PHREEQC 3.8.9 on 36 waters, heated closed and open and boiled down up to
// forty fold; the example waters of DIN 38404-10 of 1995 and 2012; the
// constants of calcite's rate law as published; a rule of thumb of the trade; and
// properties that must hold of any water, random ones included.
//
// # What is not
//
// No kinetics decide what forms: waters reach saturation. CalciteRate gives
// the published rate law with its range, for comparison. No other elements
// (iron, fluoride, phosphate, organic matter), no inhibitors, no solid
// solutions such as magnesian calcite, no magnesium silicates, no gas but CO2.
// The constants themselves are uncertain: two published databases differ on
// the saturation index of calcite in the same water by up to 0.02 at 25 °C and
// 0.12 at 93 °C. The siOffset of the functions that precipitate calcite exists
// to carry that uncertainty along.
//
// LangelierIndex and RyznarIndex are figures the trade quotes; nothing else is
// built on them.
package equilibrium
