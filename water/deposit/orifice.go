package deposit

import "math"

// OrificeFlowShare is the share of its flow left to a jet, 0 to 1, when its
// bore is scaled all round: at equal pressure flow goes with the area,
// ((d-2δ)/d)². Bore and thickness in mm; 0 when it is closed.
func OrificeFlowShare(boreMM, thicknessMM float64) float64 {
	open := max(0, 1-2*thicknessMM/boreMM)
	return open * open
}

// OrificeThicknessMM is the scale in mm, all round a bore in mm, that leaves a
// share of the flow, 0 to 1: what a flow test tells of it.
func OrificeThicknessMM(boreMM, flowShare float64) float64 {
	return boreMM / 2 * (1 - math.Sqrt(flowShare))
}
