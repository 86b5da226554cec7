package plan_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Jobs that people asked about, each a file that says why its answer is what it is,
// with the answer beside what it is about, as comments that begin with "want":
//
//	# want optimal, # want infeasible     what the plan is
//	# want change cable                   a change of this kind would help
//	on a run: want ntt+nl                 what its cables hold, as [carries] has it
//	          want four                   how many one cable holds beside the ground
//	          want lacks 1                how many there is no room for
//	on a control: want loft three-way, …  its places from the hot to the leg
//	on a box: want power, want no power   whether constant power can be taken there
type asked struct {
	t     *testing.T
	file  *job.File
	plan  *plan.Plan
	lines map[int]string // what is wanted of a line
	head  []string       // what is wanted of the plan
}

func (a *asked) want(list string, i int) string {
	pos, ok := a.file.Position(wiring.Ref{List: list, Index: i})
	if !ok {
		a.t.Fatalf("%s %d has no place", list, i)
	}
	w := a.lines[pos.Line]
	delete(a.lines, pos.Line)
	return w
}

func ask(t *testing.T, name string) *asked {
	t.Helper()
	src, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if out, err := job.Format(name, src, nil); err != nil || !bytes.Equal(out, src) {
		t.Errorf("not in the canonical layout (%v); that is\n%s", err, out)
	}
	a := &asked{t: t, lines: map[int]string{}}
	for i, line := range strings.Split(string(src), "\n") {
		before, w, ok := strings.Cut(line, "# want ")
		switch {
		case ok && before == "":
			a.head = append(a.head, w)
		case ok:
			a.lines[i+1] = w
		}
	}
	if a.file, err = job.Parse(name, src, nil); err != nil {
		t.Fatal(err)
	}
	if a.plan, err = plan.New(context.Background(), a.file.Intent, a.file.Region, nil); err != nil {
		t.Fatal(err)
	}
	return a
}

func cases(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/cases/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files: %v", err)
	}
	return files
}

func TestCases(t *testing.T) {
	for _, name := range cases(t) {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			a := ask(t, name)
			a.status()
			a.runs()
			a.controls()
			a.boxes()
			if len(a.lines) > 0 {
				t.Errorf("nothing is read of what is wanted in lines %v", a.lines)
			}
			if t.Failed() {
				t.Log("\n" + shown(a.plan))
			}
		})
	}
}

func (a *asked) status() {
	known := false
	for _, w := range a.head {
		kind, isChange := strings.CutPrefix(w, "change ")
		switch {
		case !isChange:
			known = true
			if a.plan.Status.String() != w {
				a.t.Errorf("the plan is %v, want %s: %v", a.plan.Status, w, a.plan.Lacks)
			}
		case !slices.ContainsFunc(a.plan.Changes, func(c plan.Change) bool { return c.Kind.String() == kind }):
			a.t.Errorf("no change of the kind %q among %v", kind, a.plan.Changes)
		}
	}
	if !known {
		a.t.Error("the file does not say whether it can be done")
	}
	if a.plan.Status == plan.Infeasible {
		return
	}
	if what := unsound(a.file.Intent, a.file.Region, a.plan); len(what) > 0 {
		a.t.Errorf("unsound: %v", what)
	}
	w, err := wiring.New(a.plan.Spec)
	if err != nil {
		a.t.Fatal(err)
	}
	for wire, f := range w.Functions() {
		if len(f.Feeds) > 1 && f.Kind != wiring.GroundConductor {
			a.t.Errorf("%v is the %v of several feeds: %v", wire, f.Kind, f.Feeds)
		}
	}
}

func (a *asked) runs() {
	lacks := map[int]int{}
	for _, l := range a.plan.Lacks {
		lacks[l.Run] = l.Short
	}
	for i := range a.file.Intent.Runs {
		w := a.want("runs", i)
		short := ""
		if n := lacks[i]; n > 0 {
			short = fmt.Sprintf("lacks %d", n)
		}
		if short != "" || strings.HasPrefix(w, "lacks") {
			if short != w {
				a.t.Errorf("run %d: %q, want %q", i, short, w)
			}
			continue
		}
		var holds []string
		for _, c := range a.plan.Cables {
			if c.Run == i {
				holds = append(holds, carries(c))
			}
		}
		got := strings.Join(holds, "+")
		switch {
		case w == "":
		case w == "four":
			if len(holds) != 1 || len(got) != 4 {
				a.t.Errorf("run %d holds %s, want four", i, got)
			}
		case got != w:
			a.t.Errorf("run %d holds %s, want %s", i, got, w)
		}
	}
}

func (a *asked) controls() {
	kinds := map[switchnet.Ref]string{}
	for _, d := range a.plan.Spec.Devices {
		kinds[switchnet.Ref{Place: d.Box, Name: d.Name}] = d.Kind.Name
	}
	for i, c := range a.plan.Controls {
		var stops []string
		for _, box := range c.Order {
			stops = append(stops, box+" "+kinds[switchnet.Ref{Place: box, Name: c.Name}])
		}
		if w := a.want("controls", i); w != "" && strings.Join(stops, ", ") != w {
			a.t.Errorf("%s is %s, want %s", c.Name, strings.Join(stops, ", "), w)
		}
	}
}

func (a *asked) boxes() {
	if a.plan.Status == plan.Infeasible {
		return
	}
	w, err := wiring.New(a.plan.Spec)
	if err != nil {
		a.t.Fatal(err)
	}
	for i, b := range a.file.Intent.Boxes {
		there := plan.AvailableIn(w, b.Name)
		got := "no power"
		for _, hot := range there.Hots {
			if slices.ContainsFunc(there.Neutrals, func(n plan.Supply) bool { return n.Feed == hot.Feed }) {
				got = "power"
			}
		}
		if want := a.want("boxes", i); want != "" && got != want {
			a.t.Errorf("%s has %s, want %s: %v", b.Name, got, want, there.Says)
		}
	}
}

// Of two ways to build the same, the dearer first.
var cheaper = []struct{ why, dear, cheap string }{
	{"feed, switch, switch, lights needs three wires where the light as the feed needs four", "neutral-at-both-fed-at-the-light", "neutral-at-both-in-line"},
	{"lights at the first switch too leave four to the second", "neutral-at-both-fed-at-a-switch", "neutral-at-both-in-line"},
	{"feeding a switch spares the hot to it from the light", "neutral-at-both-fed-at-the-light", "neutral-at-both-fed-at-a-switch"},
	{"feeding through spares each dead end a conductor", "two-dead-ends-in-one-door", "fed-through-the-door"},
	{"two cables that balance need a neutral more than a raceway", "two-pairs-between-two-gangs", "two-pairs-in-a-raceway"},
}

func TestCasesCost(t *testing.T) {
	for _, r := range cheaper {
		dear, cheap := ask(t, "testdata/cases/"+r.dear+".yaml").plan, ask(t, "testdata/cases/"+r.cheap+".yaml").plan
		if dear.Cost <= cheap.Cost || dear.Unit != cheap.Unit {
			t.Errorf("%s: %s costs %v, %s %v", r.why, r.dear, dear.Cost, r.cheap, cheap.Cost)
		}
	}
}

// What is said to help does help, and costs what it is said to.
func TestCasesHelp(t *testing.T) {
	seen := map[plan.ChangeKind]bool{}
	for _, name := range cases(t) {
		a := ask(t, name)
		for _, c := range a.plan.Changes {
			seen[c.Kind] = true
			p, err := plan.New(context.Background(), c.Intent, a.file.Region, nil)
			if err != nil || p.Status == plan.Infeasible || p.Cost != c.Cost-c.Beside {
				t.Errorf("%s: %s: %v, %v", name, c.Says, p, err)
			}
		}
	}
	for _, k := range []plan.ChangeKind{plan.OtherCable, plan.OtherRaceway, plan.Exempt, plan.LessNeeds, plan.OpenRun, plan.LeaveRun, plan.OtherBreaker} {
		if !seen[k] {
			t.Errorf("no case is helped by a change of %v", k)
		}
	}
}

// Any plan goes into the file of what was wanted, and is read back as the same wiring.
func TestPlansGoIntoTheirFiles(t *testing.T) {
	us := region(t, "us-2023")
	opt := &job.Options{Region: func(string) (*rules.Region, error) { return us, nil }}
	rapid.Check(t, func(t *rapid.T) {
		in := request(t, bounds{boxes: 6, feeds: 2, groups: 3, places: 4, needs: 2, rings: true, special: true})
		p, err := plan.New(context.Background(), in, us, &plan.Options{Limit: 64})
		if err != nil || !p.Status.OK() {
			t.Skip("the wish drawn has no plan to write into its file")
		}
		wanted := &job.File{Title: "drawn", Rules: us.ID, Intent: in}
		src, err := job.Marshal(wanted, opt)
		if err != nil {
			t.Fatal(err)
		}
		out, err := job.WithWiring("drawn.yaml", src, p.Spec, opt)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(out, src) {
			t.Fatalf("what was wanted is not there any more:\n%s", out)
		}
		back, err := job.Parse("drawn.yaml", out, opt)
		if err != nil {
			t.Fatal(err)
		}
		wanted.Wiring = p.Spec
		if !wanted.Equal(back) {
			t.Fatalf("it reads otherwise:\n%s", out)
		}
	})
}
