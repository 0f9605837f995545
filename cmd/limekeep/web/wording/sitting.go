package wording

// A sitting, begun.
const (
	NotInThePlan         = "Not in the plan"
	NoSuchSittingAnyMore = "There is no such sitting in the plan any more: it was moved, or its work was done. The page Now shows the next one."
	SittingHasChanged    = "The sitting has changed meanwhile, or is over. Open it again and look."
	ScaleThatCameOff     = "Scale that came off"
	WhatCameOfTheSitting = "What came of the sitting"
)
