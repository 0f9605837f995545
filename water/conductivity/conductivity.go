package conductivity

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// conductivityIon is an ion that carries current: its charge number and its
// equivalent conductivity at infinite dilution and 25 °C, S·cm²/eq.
type conductivityIon struct {
	charge, limit float64
}

// Equivalent conductivities at infinite dilution: CRC Handbook of Chemistry
// and Physics, Ionic conductivity and diffusion at infinite dilution (from
// memory).
var conductivityIons = [...]conductivityIon{
	conductivityCa:   {2, 59.47},
	conductivityMg:   {2, 53.0},
	conductivityNa:   {1, 50.08},
	conductivityK:    {1, 73.48},
	conductivityH:    {1, 349.65},
	conductivityCl:   {-1, 76.31},
	conductivitySO4:  {-2, 80.0},
	conductivityNO3:  {-1, 71.42},
	conductivityHCO3: {-1, 44.5},
	conductivityCO3:  {-2, 69.3},
	conductivityOH:   {-1, 198},
}

const (
	conductivityCa = iota
	conductivityMg
	conductivityNa
	conductivityK
	conductivityH
	conductivityCl
	conductivitySO4
	conductivityNO3
	conductivityHCO3
	conductivityCO3
	conductivityOH
	conductivityCount
)

// Onsager's limiting law at 25 °C (Onsager 1927, Phys. Z. 28, 277; figures as
// in Robinson and Stokes, Electrolyte Solutions, from memory): the relaxation
// term for singly charged ions and the electrophoretic term per charge. The
// finite size of ions divides both by 1 + B·a·√I; a = 4 Å is the size of
// potassium chloride in the same book, taken for every ion (assumption).
const (
	conductivityRelaxation      = 0.2289
	conductivityElectrophoretic = 30.16
	conductivitySize            = 0.3291 * 4.0
)

// conductivityConstants holds the equilibrium constants at 25 °C.
var conductivityConstants = func() (k struct{ caSO4, mgSO4, carbonate, water float64 }) {
	k.caSO4 = math.Pow(10, equilibrium.ReactionCaSO4.Log10K(25))
	k.mgSO4 = math.Pow(10, equilibrium.ReactionMgSO4.Log10K(25))
	k.carbonate = math.Pow(10, -equilibrium.ReactionHCO3.Log10K(25)) // HCO3- = CO3-2 + H+
	k.water = math.Pow(10, equilibrium.ReactionOH.Log10K(25))
	return k
}()

// conductivityDebyeA is Debye-Hückel's A at 25 °C, decimal logarithm, for the
// equation of Davies (1962).
const conductivityDebyeA = 0.5094

// At25 is the electrical conductivity of the water at 25 °C in
// µS/cm: the sum over its ions of Onsager's conductivities, the relaxation
// term scaled by the charges that meet. Sulfate paired with calcium and
// magnesium is taken out first, the pairs carrying no current; other pairs
// are left out. The pH is taken as if measured at 25 °C. Good to about 3 %
// up to 2,000 µS/cm.
func At25(a water.Analysis) float64 {
	t := a.Totals()
	return TotalsAt25(&t, a.PH)
}

// TotalsAt25 works on totals in mol/kg, so that thousands of waters can
// be tried without converting back and forth.
func TotalsAt25(t *water.Totals, ph float64) float64 {
	h := math.Pow(10, -ph)
	oh := conductivityConstants.water / h
	alkalinity := math.Max(t.Alkalinity-oh+h, 0)
	ca, mg, so4, hco3, co3 := t.Calcium, t.Magnesium, t.Sulfate, alkalinity, 0.0
	var strength float64
	// Two rounds settle the strength to a few parts in a thousand.
	for range 2 {
		strength = 2*(ca+mg+so4+co3) + (t.Sodium+t.Potassium+h+t.Chloride+t.Nitrate+hco3+oh)/2
		root := math.Sqrt(strength)
		davies := conductivityDebyeA * (root/(1+root) - 0.3*strength)
		g := math.Pow(10, -davies)                                 // activity coefficient of charge 1
		g8 := g * g * g * g * g * g * g * g                        // of a pair of charges 2 and 2
		ratio := conductivityConstants.carbonate / (h * g * g * g) // CO3 per HCO3
		hco3 = alkalinity / (1 + 2*ratio)
		co3 = hco3 * ratio
		so4 = t.Sulfate / (1 + g8*(conductivityConstants.caSO4*ca+conductivityConstants.mgSO4*mg))
		ca = t.Calcium / (1 + g8*conductivityConstants.caSO4*so4)
		mg = t.Magnesium / (1 + g8*conductivityConstants.mgSO4*so4)
	}
	amounts := [conductivityCount]float64{
		conductivityCa: ca, conductivityMg: mg, conductivityNa: t.Sodium, conductivityK: t.Potassium, conductivityH: h,
		conductivityCl: t.Chloride, conductivitySO4: so4, conductivityNO3: t.Nitrate,
		conductivityHCO3: hco3, conductivityCO3: co3, conductivityOH: oh,
	}
	return conductivitySum(&amounts, strength)
}

// conductivitySum adds up free ions, mol/kg, at a given ionic strength.
func conductivitySum(amounts *[conductivityCount]float64, strength float64) float64 {
	// The mean charge of what each ion meets, by equivalents.
	var cations, anions, cationCharge, anionCharge float64
	for i, m := range amounts {
		z := conductivityIons[i].charge
		if z > 0 {
			cations += z * m
			cationCharge += z * z * m
		} else {
			anions -= z * m
			anionCharge += z * z * m
		}
	}
	if cations <= 0 || anions <= 0 {
		return 0
	}
	cationCharge /= cations
	anionCharge /= anions
	root := math.Sqrt(strength)
	root /= 1 + conductivitySize*root
	var sum float64
	for i, m := range amounts {
		ion := conductivityIons[i]
		z, meets := ion.charge, anionCharge
		if z < 0 {
			z, meets = -z, cationCharge
		}
		sum += z * m * (ion.limit - (conductivityRelaxation*z*meets*ion.limit+conductivityElectrophoretic*z)*root)
	}
	return 1000 * math.Max(sum, 0) // S·cm²/mol times mol/L is mS/cm
}

// residueMassCO3 is the mass that one equivalent of hydrogencarbonate leaves
// when water is dried, g: 2 HCO3- = CO3-2 + CO2 + H2O.
const residueMassCO3 = (water.MolarMassCarbon + 3*water.MolarMassOxygen) / 2

// DissolvedSolids is the dry residue of the water in mg/kg: every constituent
// as it stands after drying, hydrogencarbonate turned to carbonate.
func DissolvedSolids(a water.Analysis) float64 {
	t := a.Totals()
	return TotalsDissolvedSolids(&t)
}

// TotalsDissolvedSolids is DissolvedSolids on totals in mol/kg.
func TotalsDissolvedSolids(t *water.Totals) float64 {
	return 1000 * (t.Calcium*water.MolarMassCalcium + t.Magnesium*water.MolarMassMagnesium +
		t.Sodium*water.MolarMassSodium + t.Potassium*water.MolarMassPotassium +
		math.Max(t.Alkalinity, 0)*residueMassCO3 +
		t.Chloride*water.MolarMassChlorine + t.Sulfate*water.MolarMassSulfate +
		t.Nitrate*water.MolarMassNitrate + t.Silica*water.MolarMassSilica)
}
