// Package corrosion is the chapter on what water does to the materials and
// parts it meets: chloride and low pH to stainless steel, low pH to copper,
// chloride, low and high pH to brass (Turner's diagram, 1961 and 1965), pure water
// to level probes, free chlorine to membranes. Warnings looks at every analysis of
// a set and says how likely each limit is crossed, and what helps. LarsonSkoldIndex (1958) is for
// mains of iron, and only for those.
//
// Limits are common practice, from memory or of a directive, as said beside each;
// the tests check them on both sides, the index and the diagram at published
// points.
package corrosion
