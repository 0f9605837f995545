package conductivity

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// ion is an ion that carries current: its charge number and its
// equivalent conductivity at infinite dilution and 25 °C, S·cm²/eq.
type ion struct {
	charge, limit float64
}

// Equivalent conductivities at infinite dilution: CRC Handbook of Chemistry
// and Physics, Ionic conductivity and diffusion at infinite dilution (from
// memory).
var ions = [...]ion{
	ionCa:   {2, 59.47},
	ionMg:   {2, 53.0},
	ionNa:   {1, 50.08},
	ionK:    {1, 73.48},
	ionH:    {1, 349.65},
	ionCl:   {-1, 76.31},
	ionSO4:  {-2, 80.0},
	ionNO3:  {-1, 71.42},
	ionHCO3: {-1, 44.5},
	ionCO3:  {-2, 69.3},
	ionOH:   {-1, 198},
}

const (
	ionCa = iota
	ionMg
	ionNa
	ionK
	ionH
	ionCl
	ionSO4
	ionNO3
	ionHCO3
	ionCO3
	ionOH
	ionCount
)

// Onsager's limiting law at 25 °C (Onsager 1927, Phys. Z. 28, 277; figures as
// in Robinson and Stokes, Electrolyte Solutions, from memory): the relaxation
// term for singly charged ions and the electrophoretic term per charge. The
// finite size of ions divides both by 1 + B·a·√I; a = 4 Å is the size of
// potassium chloride in the same book, taken for every ion (assumption).
const (
	onsagerRelaxation      = 0.2289
	onsagerElectrophoretic = 30.16
	onsagerSize            = 0.3291 * 4.0
)

// constantsAt25 holds the equilibrium constants at 25 °C.
var constantsAt25 = func() (k struct{ caSO4, mgSO4, carbonate, water float64 }) {
	k.caSO4 = math.Pow(10, equilibrium.ReactionCaSO4.Log10K(25))
	k.mgSO4 = math.Pow(10, equilibrium.ReactionMgSO4.Log10K(25))
	k.carbonate = math.Pow(10, -equilibrium.ReactionHCO3.Log10K(25)) // HCO3- = CO3-2 + H+
	k.water = math.Pow(10, equilibrium.ReactionOH.Log10K(25))
	return k
}()

// debyeHueckelA is Debye-Hückel's A at 25 °C, decimal logarithm, for the
// equation of Davies (1962).
const debyeHueckelA = 0.5094

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
	oh := constantsAt25.water / h
	alkalinity := math.Max(t.Alkalinity-oh+h, 0)
	ca, mg, so4, hco3, co3 := t.Calcium, t.Magnesium, t.Sulfate, alkalinity, 0.0
	var strength float64
	// Two rounds settle the strength to a few parts in a thousand.
	for range 2 {
		strength = 2*(ca+mg+so4+co3) + (t.Sodium+t.Potassium+h+t.Chloride+t.Nitrate+hco3+oh)/2
		root := math.Sqrt(strength)
		davies := debyeHueckelA * (root/(1+root) - 0.3*strength)
		g := math.Pow(10, -davies)                         // activity coefficient of charge 1
		g8 := g * g * g * g * g * g * g * g                // of a pair of charges 2 and 2
		ratio := constantsAt25.carbonate / (h * g * g * g) // CO3 per HCO3
		hco3 = alkalinity / (1 + 2*ratio)
		co3 = hco3 * ratio
		so4 = t.Sulfate / (1 + g8*(constantsAt25.caSO4*ca+constantsAt25.mgSO4*mg))
		ca = t.Calcium / (1 + g8*constantsAt25.caSO4*so4)
		mg = t.Magnesium / (1 + g8*constantsAt25.mgSO4*so4)
	}
	amounts := [ionCount]float64{
		ionCa: ca, ionMg: mg, ionNa: t.Sodium, ionK: t.Potassium, ionH: h,
		ionCl: t.Chloride, ionSO4: so4, ionNO3: t.Nitrate,
		ionHCO3: hco3, ionCO3: co3, ionOH: oh,
	}
	return sumOfIons(&amounts, strength)
}

// sumOfIons adds up free ions, mol/kg, at a given ionic strength.
func sumOfIons(amounts *[ionCount]float64, strength float64) float64 {
	// The mean charge of what each ion meets, by equivalents.
	var cations, anions, cationCharge, anionCharge float64
	for i, m := range amounts {
		z := ions[i].charge
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
	root /= 1 + onsagerSize*root
	var sum float64
	for i, m := range amounts {
		one := ions[i]
		z, meets := one.charge, anionCharge
		if z < 0 {
			z, meets = -z, cationCharge
		}
		sum += z * m * (one.limit - (onsagerRelaxation*z*meets*one.limit+onsagerElectrophoretic*z)*root)
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
