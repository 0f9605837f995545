package water

// Molar masses in g/mol, from the abridged standard atomic weights of the
// IUPAC Commission on Isotopic Abundances and Atomic Weights (2021 table).
const (
	molarMassHydrogen  = 1.008
	molarMassCarbon    = 12.011
	molarMassNitrogen  = 14.007
	molarMassOxygen    = 15.999
	molarMassSodium    = 22.990
	molarMassMagnesium = 24.305
	molarMassSilicon   = 28.085
	molarMassSulfur    = 32.06
	molarMassChlorine  = 35.45
	molarMassPotassium = 39.098
	molarMassCalcium   = 40.078

	// MolarMassCalcite is the molar mass of CaCO3, g/mol.
	MolarMassCalcite = molarMassCalcium + molarMassCarbon + 3*molarMassOxygen
	// MolarMassAnhydrite is the molar mass of CaSO4, g/mol.
	MolarMassAnhydrite = molarMassCalcium + molarMassSulfur + 4*molarMassOxygen
	// MolarMassBrucite is the molar mass of Mg(OH)2, g/mol.
	MolarMassBrucite = molarMassMagnesium + 2*(molarMassOxygen+molarMassHydrogen)

	molarMassSulfate = molarMassSulfur + 4*molarMassOxygen
	molarMassNitrate = molarMassNitrogen + 3*molarMassOxygen
	molarMassSilica  = molarMassSilicon + 2*molarMassOxygen

	// equivalentMassCaCO3 is the mass of CaCO3 that neutralises one mole of
	// acid, g/eq. The mass is that of calcium carbonate, the charge two.
	equivalentMassCaCO3 = MolarMassCalcite / 2
)
