// Package descaling is the chapter on taking scale off with acid: how much of
// which, in how many baths of how much water, how hot, when a bath is spent,
// the gas it sets free, the rinse afterwards, and when no acid may be used and
// a workshop must do it.
//
// Doses follow from stoichiometry on one proton and, for citric acid, from the
// equilibrium of its bath, so that no calcium citrate is laid down (dissociation
// and solubility from handbooks, as said beside them). Limits are common
// practice. The tests work out doses and gas by hand and hold the citrate bath
// to its measured solubility.
package descaling
