package rules_test

import (
	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// has reports whether a table has a rule that sizing asks for.
func has(t *conductor.Table, rule conductor.Rule) bool {
	switch rule {
	case conductor.RuleContinuousLoad:
		return !t.Continuous.Source.Absent()
	case conductor.RuleStandardRating:
		return len(t.Overcurrent) > 0
	case conductor.RuleMinimumRating:
		return !t.MinimumRating.Source.Absent()
	case conductor.RuleTerminations:
		return !t.Terminations.Source.Absent()
	case conductor.RuleNonmetallic:
		return !t.Nonmetallic.Source.Absent()
	case conductor.RuleNextSizeUp:
		return !t.NextSizeUp.Source.Absent()
	case conductor.RuleFaultLoop:
		return len(t.FaultLoop.Curves) > 0
	}
	panic("no test for " + rule.String())
}

// countsItem reports whether a table has a rule for an item of box fill.
func countsItem(t *boxfill.Table, item boxfill.Item) bool {
	switch item {
	case boxfill.ItemSpliced:
		return !t.Conductors.Spliced.Absent()
	case boxfill.ItemLanded:
		return !t.Conductors.Landed.Absent()
	case boxfill.ItemPassingThrough:
		return !t.Conductors.PassingThrough.Absent()
	case boxfill.ItemLooped:
		return !t.Conductors.Looped.Absent()
	case boxfill.ItemDevice:
		return !t.Devices.Yoke.Absent()
	case boxfill.ItemDeepDevice:
		return !t.Devices.Deep.Source.Absent()
	case boxfill.ItemGround:
		return !t.Grounds.Absent()
	case boxfill.ItemInsulatedGround:
		return !t.Grounds.Insulated.Absent()
	case boxfill.ItemIsolatedGround:
		return !t.Grounds.Isolated.Absent()
	case boxfill.ItemTerminalBlock:
		return !t.TerminalBlocks.Absent()
	case boxfill.ItemAllowance:
		return len(t.Allowances) > 0
	}
	panic("no test for " + item.String())
}
