package check_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/wiring"
)

// TestSingleFaults makes every single fault of chains of 2, 3, 4 and 6 places and of the
// boat shed. Each is found, or the engine shows that it does no harm. The table of them
// stands in DEVELOPERS.md.
func TestSingleFaults(t *testing.T) {
	t.Parallel()
	var heads []string
	cells := map[miswire.Kind][]string{}
	sums := [2][]string{}
	for _, places := range []int{2, 3, 4, 6, 0} {
		f, j := shed(t)
		head := "boat shed"
		if places > 0 {
			f, j = chain(t, places)
			head = fmt.Sprintf("%d places", places)
		}
		heads = append(heads, head)
		suite := check.Everything(f.Region)
		topics := map[check.Code]check.Topic{}
		for _, r := range suite.Rules {
			topics[r.Code] = r.Topic
		}
		if found := run(t, j, suite); len(found) > 0 {
			t.Fatalf("%s: there is a finding before any fault: %s", head, found[0].Message)
		}
		type count struct{ found, harmless int }
		counts := map[miswire.Kind]*count{}
		all, bySafety := 0, 0
		list := miswire.List(j.Wiring)
		for _, x := range list {
			c := counts[x.Kind]
			if c == nil {
				c = &count{}
				counts[x.Kind] = c
			}
			w, err := x.Apply(j.Wiring)
			if err != nil {
				t.Fatal(err)
			}
			wrong := j
			wrong.Wiring = w
			if found := run(t, wrong, suite); len(found) > 0 {
				c.found++
				all++
				if slices.ContainsFunc(found, func(f check.Finding) bool { v := topics[f.Code]; return v == check.Function || v == check.ShockFire }) {
					bySafety++
				}
				continue
			}
			c.harmless++
			if why := harm(t, f.Region, j.Wiring, w); why != "" {
				t.Errorf("%s: %v: %s: nothing is found, and it does harm: %s", head, x.Kind, x.Says, why)
			}
		}
		for _, k := range miswire.Kinds() {
			cell := "-"
			if c := counts[k]; c != nil {
				cell = fmt.Sprint(c.found)
				if c.harmless > 0 {
					cell += fmt.Sprintf(" and %d harmless", c.harmless)
				}
			}
			cells[k] = append(cells[k], cell)
		}
		sums[0] = append(sums[0], fmt.Sprintf("%d and %d harmless", all, len(list)-all))
		sums[1] = append(sums[1], fmt.Sprint(bySafety))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "| fault | %s |\n|---|%s\n", strings.Join(heads, " | "), strings.Repeat("---:|", len(heads)))
	for _, k := range miswire.Kinds() {
		if slices.ContainsFunc(cells[k], func(c string) bool { return c != "-" }) {
			fmt.Fprintf(&b, "| %v | %s |\n", k, strings.Join(cells[k], " | "))
		}
	}
	fmt.Fprintf(&b, "| all | %s |\n| of these found by a rule of the safety suite | %s |\n", strings.Join(sums[0], " | "), strings.Join(sums[1], " | "))
	inDocument(t, "../../DEVELOPERS.md", "single faults", b.String())
}

// inDocument holds what stands in a document between two comments that name it.
func inDocument(t *testing.T, file, name, want string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	first, last := "<!-- "+name+" -->\n", "<!-- end of "+name+" -->"
	before, rest, ok := strings.Cut(string(text), first)
	old, after, ok2 := strings.Cut(rest, last)
	if !ok || !ok2 {
		t.Fatalf("%s has no place for %s between %q and %q", file, name, first, last)
	}
	if golden.Updating() {
		if err := os.WriteFile(file, []byte(before+first+want+last+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(old, want); diff != "" {
		t.Errorf("%s differs in %s; if the change is meant, run go test ./switchnet/check -update (-there +here):\n%s", file, name, diff)
	}
}

// harm returns what a fault does, or nothing if, with the handle of at most one switch
// turned over, there is in every state the same: what each light does, the condition of
// its ends, that of everything that a hand can touch, and the current that each cable
// does not carry back.
func harm(t *testing.T, region *rules.Region, right, wrong *wiring.Wiring) string {
	t.Helper()
	turns := []switchnet.Ref{{}}
	for d := range right.Net().Devices() {
		if len(d.Kind.Positions) == 2 && !d.Kind.Breaker {
			turns = append(turns, d.Ref)
		}
	}
	why := ""
	for _, turned := range turns {
		s := differs(t, region, right, wrong, turned)
		if s == "" {
			return ""
		}
		if why == "" {
			why = s
		}
	}
	return why
}

// differs returns a difference between two wirings of the same devices, the handle of one
// turned over in the second.
func differs(t *testing.T, region *rules.Region, right, wrong *wiring.Wiring, turned switchnet.Ref) string {
	t.Helper()
	a, b := right.Net().NewSolver(), wrong.Net().NewSolver()
	amps := [2]*steady.Problem{}
	for i, w := range []*wiring.Wiring{right, wrong} {
		var err error
		if amps[i], err = steady.New(w, &region.Conductor, nil); err != nil {
			t.Fatal(err)
		}
	}
	states, _, err := right.Net().States(nil)
	if err != nil {
		t.Fatal(err)
	}
	for s := range states {
		o := turn(t, s, wrong.Net(), turned)
		v, err := a.Solve(s)
		if err != nil {
			t.Fatal(err)
		}
		u, err := b.Solve(o)
		if err != nil {
			t.Fatal(err)
		}
		for l := range right.Net().Loads() {
			x, _ := v.Supply(l.Ref)
			y, _ := u.Supply(l.Ref)
			if x.Status != y.Status || x.Volts != y.Volts || x.Ends[0].Kind() != y.Ends[0].Kind() || x.Ends[1].Kind() != y.Ends[1].Kind() {
				return fmt.Sprintf("%v is %v and not %v with %v", l.Ref, y, x, s)
			}
		}
		for term := range right.Net().Terminals() {
			if term.Name != "ground" {
				continue
			}
			x, _ := v.Condition(term)
			y, _ := u.Condition(term)
			if x.Kind() != y.Kind() || x.Rails != y.Rails {
				return fmt.Sprintf("%v is %v and not %v with %v", term, y, x, s)
			}
		}
		if why := unlike(t, amps, s, o); why != "" {
			return fmt.Sprintf("%s with %v", why, s)
		}
	}
	return ""
}

// turn returns the positions of a state in another net, those of one device of two
// exchanged.
func turn(t *testing.T, s switchnet.State, net *switchnet.Net, turned switchnet.Ref) switchnet.State {
	t.Helper()
	o, err := s.On(net)
	if err == nil && turned != (switchnet.Ref{}) {
		o, err = o.Flip(turned)
	}
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// unlike compares the currents that cables do not carry back.
func unlike(t *testing.T, problems [2]*steady.Problem, states ...switchnet.State) string {
	t.Helper()
	var out [2]map[string]float64
	for i, p := range problems {
		s, err := p.Solve(states[i])
		if err != nil {
			t.Fatal(err)
		}
		out[i] = map[string]float64{}
		for _, c := range p.Wiring().Spec().Cables {
			net, err := s.ClampCable(c.Name)
			if err != nil {
				t.Fatal(err)
			}
			out[i][c.Name] = float64(net)
		}
	}
	for name, x := range out[0] {
		// A milliampere is more than what cables leak here.
		if d := out[1][name] - x; d > 1000 || d < -1000 {
			return fmt.Sprintf("%s carries back %g uA more or less", name, d)
		}
	}
	return ""
}
