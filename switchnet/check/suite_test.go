package check_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// A suite asks each rule of the package or says why not; and beyond the rules it says what
// nobody asks, with a reason.
func TestSuitesSayWhatTheyLeaveOut(t *testing.T) {
	regions := []*rules.Region{nil}
	for _, info := range rules.Regions() {
		r, err := rules.Load(info.ID)
		if err != nil {
			t.Fatal(err)
		}
		regions = append(regions, r)
	}
	for _, region := range regions {
		questions := 0
		for _, s := range append(check.Suites(region), check.Everything(region)) {
			told := map[check.Code]int{}
			for _, r := range s.Rules {
				told[r.Code]++
			}
			n := 0
			for _, l := range s.LeftOut {
				if l.What == "" || l.Why == "" {
					t.Errorf("%s: %+v says too little", s.Name, l)
				}
				if l.Code != "" {
					told[l.Code]++
				} else {
					n++
				}
			}
			for _, r := range check.Rules() {
				if told[r.Code] != 1 {
					t.Errorf("%s tells of %s %d times", s.Name, r.Code, told[r.Code])
				}
			}
			if s.Name != "everything" {
				questions += n
			} else if n != questions || n == 0 {
				t.Errorf("everything leaves out %d questions, its parts %d", n, questions)
			}
		}
	}
}

// Suites may be cut down, and say so, and be enlarged by rules of a program's own.
func TestOwnSuite(t *testing.T) {
	f, j := shed(t)
	var asked []check.Code
	own := check.Rule{Code: "own", Topic: check.Workmanlike, Doc: "Anything.", Find: func(p *check.Pass) error {
		p.Report(check.Finding{Message: "found"})
		return nil
	}}
	s := check.Workmanship(f.Region).Without("it is not asked here", "untagged").With(own)
	for _, r := range s.Rules {
		asked = append(asked, r.Code)
	}
	if slices.Contains(asked, "untagged") || asked[len(asked)-1] != "own" {
		t.Errorf("it asks %v", asked)
	}
	if !slices.ContainsFunc(s.LeftOut, func(l check.LeftOut) bool { return l.Code == "untagged" && l.Why == "it is not asked here" }) {
		t.Errorf("it leaves out %v", s.LeftOut)
	}
	if found := run(t, j, s); len(found) != 1 || found[0].Code != "own" || found[0].Standing != check.Defect {
		t.Errorf("it finds %v", found)
	}
}

// A rule of a program's own may propose what says nothing: it is no cure, and no harm.
func TestOwnRuleProposesNothing(t *testing.T) {
	_, j := shed(t)
	for _, edit := range []wiring.Edit{wiring.JoinSplice{}, wiring.SplitSplice{}, wiring.MoveLanding{}, wiring.CapEnd{}, wiring.SwapWires{}, wiring.Remark{}} {
		own := check.Rule{Code: "own", Topic: check.Function, Doc: "Anything.", Find: func(p *check.Pass) error {
			p.Report(check.Finding{Message: "found", Fixes: []check.Fix{{Does: "one", Edits: []wiring.Edit{edit}}, {Does: "other", Edits: []wiring.Edit{edit}}}})
			return nil
		}}
		if found, err := check.Run(t.Context(), j, check.Suite{}.With(own), nil); err != nil || len(found) != 1 || len(found[0].Fixes) > 0 {
			t.Errorf("%T: it finds %+v, %v", edit, found, err)
		}
	}
}
