package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
)

// A Suite is a choice of rules.
type Suite struct {
	Name string
	// Rules are asked in this order, which is the order of the findings.
	Rules []Rule
	// LeftOut are the rules, or questions that no rule of the package asks, that are
	// not in the suite, and why: those of the package in its order, then the
	// questions.
	LeftOut []LeftOut

	region *rules.Region
	sizer  *conductor.Sizer
}

// LeftOut says why a suite does not ask something.
type LeftOut struct {
	Code Code   // empty for what no rule of the package asks
	What string // what is not asked
	Why  string
}

// Region returns the region whose rules the suite goes by, nil for none.
func (s *Suite) Region() *rules.Region { return s.region }

// Rules returns all rules of the package, in the order in which suites ask them.
func Rules() []Rule {
	return slices.Concat(functionRules, lampRules, circuitRules, groundRules, bondRules, balanceRules, sizeRules, electronicRules, lawRules, supportRules, colourRules, workRules)
}

// Safety returns the suite of what a wiring must do and of what can shock or burn. The
// region, which may be nil, gives what its conductors may carry and the sections of
// findings.
func Safety(region *rules.Region) Suite {
	return choose("safety", region, Function, ShockFire)
}

// Edition returns the suite of what the code of a region and edition asks for beyond
// safety.
func Edition(region *rules.Region) Suite {
	name := "edition"
	if region != nil {
		name = region.ID
	}
	return choose(name, region, Law)
}

// Workmanship returns the suite of what is poor work. The region may be nil.
func Workmanship(region *rules.Region) Suite {
	return choose("workmanship", region, Workmanlike)
}

// Everything returns all suites of a region as one.
func Everything(region *rules.Region) Suite {
	return choose("everything", region, Function, ShockFire, Law, Workmanlike)
}

// Suites returns the suites of a region: safety, its edition, workmanship.
func Suites(region *rules.Region) []Suite {
	return []Suite{Safety(region), Edition(region), Workmanship(region)}
}

// choose returns the rules on some topics that a region has what it takes for.
func choose(name string, region *rules.Region, topics ...Topic) Suite {
	s := Suite{Name: name, region: region}
	if region != nil {
		s.sizer, _ = conductor.NewSizer(region.Conductor) // the rules that need it are left out if there is none
	}
	for _, r := range Rules() {
		if !slices.Contains(topics, r.Topic) {
			s.LeftOut = append(s.LeftOut, LeftOut{r.Code, r.Doc, fmt.Sprintf("it is about %v", r.Topic)})
			continue
		}
		if r.Needs != nil {
			if err := r.Needs(region); err != nil {
				s.LeftOut = append(s.LeftOut, LeftOut{r.Code, r.Doc, err.Error()})
				continue
			}
		}
		s.Rules = append(s.Rules, r)
	}
	for _, u := range unasked {
		if slices.Contains(topics, u.topic) {
			s.LeftOut = append(s.LeftOut, LeftOut{What: u.what, Why: u.why})
		}
	}
	return s
}

// unasked are the questions on each topic that no rule asks.
var unasked = []struct {
	topic     Topic
	what, why string
}{
	{ShockFire, "A receptacle that carries more than it is rated for.", "no job states what is plugged in at once"},
	{ShockFire, "A loose screw, a worn contact, insulation that has gone brittle.", "it is looked for with eyes and tools, and no job states it"},
	{Law, "What other buildings than dwellings demand of protection and of the control of stairs.", "every building is taken for a dwelling, and the figures are those of dwellings"},
	{Law, "How far conductors reach beyond the opening of a box, and how tightly a cable is bent.", "no job states it"},
}

// With returns the suite with rules of a program's own after its rules.
func (s Suite) With(own ...Rule) Suite {
	s.Rules = slices.Concat(s.Rules, own)
	return s
}

// Without returns the suite without the rules of some codes, for a stated reason.
func (s Suite) Without(why string, codes ...Code) Suite {
	kept := make([]Rule, 0, len(s.Rules))
	s.LeftOut = slices.Clone(s.LeftOut)
	for _, r := range s.Rules {
		if slices.Contains(codes, r.Code) {
			s.LeftOut = append(s.LeftOut, LeftOut{r.Code, r.Doc, why})
			continue
		}
		kept = append(kept, r)
	}
	s.Rules = kept
	return s
}
