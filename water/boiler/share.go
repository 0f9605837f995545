package boiler

import "math"

// steamShares are the shares of the feed that leave as steam for which columns
// are worked out. Between them the solids run nearly straight over the logarithm
// of the share: it is where the first CO2 leaves that they bend. Choices of
// numerical method.
var steamShares = [...]float64{0, 0.001, 0.005, 0.02, 0.08, 0.3, 1}

// steamShareBend keeps that logarithm finite where no steam leaves.
const steamShareBend = 0.0003

// SteamShareKnots returns the two shares, the lower first, between which the
// columns of a share of steam are taken, and how far it lies from the one to the
// other, 0 to 1. Both are the same where the share is one of them; beyond 0 to 1
// the nearest is taken.
func SteamShareKnots(share float64) (low, high, place float64) {
	last := len(steamShares) - 1
	for i, s := range steamShares {
		if share <= s || i == last {
			if share >= s || i == 0 {
				return s, s, 0
			}
			low, high = steamShares[i-1], s
			break
		}
	}
	bent := func(s float64) float64 { return math.Log(s + steamShareBend) }
	return low, high, (bent(share) - bent(low)) / (bent(high) - bent(low))
}

// Towards returns what forms of the same feed for a share of steam that lies
// between c's and d's, place of the way from the one to the other.
func (c Forming) Towards(d Forming, place float64) Forming {
	for o := range c.solids {
		for n := range c.solids[o] {
			for k := range c.solids[o][n] {
				c.solids[o][n][k] = float32(between(c.solids[o][n][k], d.solids[o][n][k], place))
			}
		}
	}
	c.noteSolids()
	return c
}
