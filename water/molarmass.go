package water

// Molar masses in g/mol, from the abridged standard atomic weights of the
// IUPAC Commission on Isotopic Abundances and Atomic Weights (2021 table).
const (
	MolarMassHydrogen  = 1.008
	MolarMassCarbon    = 12.011
	MolarMassNitrogen  = 14.007
	MolarMassOxygen    = 15.999
	MolarMassSodium    = 22.990
	MolarMassMagnesium = 24.305
	molarMassSilicon   = 28.085
	MolarMassSulfur    = 32.06
	MolarMassChlorine  = 35.45
	MolarMassPotassium = 39.098
	MolarMassCalcium   = 40.078

	// MolarMassCalcite is the molar mass of CaCO3, g/mol.
	MolarMassCalcite = MolarMassCalcium + MolarMassCarbon + 3*MolarMassOxygen
	// MolarMassAnhydrite is the molar mass of CaSO4, g/mol.
	MolarMassAnhydrite = MolarMassCalcium + MolarMassSulfur + 4*MolarMassOxygen
	// MolarMassBrucite is the molar mass of Mg(OH)2, g/mol.
	MolarMassBrucite = MolarMassMagnesium + 2*(MolarMassOxygen+MolarMassHydrogen)

	MolarMassSulfate = MolarMassSulfur + 4*MolarMassOxygen
	MolarMassNitrate = MolarMassNitrogen + 3*MolarMassOxygen
	MolarMassSilica  = molarMassSilicon + 2*MolarMassOxygen

	// EquivalentMassCaCO3 is the mass of CaCO3 that neutralises one mole of
	// acid, g/eq. The mass is that of calcium carbonate, the charge two.
	EquivalentMassCaCO3 = MolarMassCalcite / 2
)
