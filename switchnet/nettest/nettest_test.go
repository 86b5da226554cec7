package nettest_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/nettest"
)

// recorder stands in for a test and keeps what is reported to it.
type recorder struct {
	testing.TB
	errors, logs []string
}

func (r *recorder) Helper()                   {}
func (r *recorder) Errorf(f string, a ...any) { r.errors = append(r.errors, fmt.Sprintf(f, a...)) }
func (r *recorder) Logf(f string, a ...any)   { r.logs = append(r.logs, fmt.Sprintf(f, a...)) }

// changed returns a single-pole with a change.
func changed(change func(*switchnet.Kind)) switchnet.Kind {
	k := switchnet.SinglePole()
	change(&k)
	return k
}

func TestCheckKindFails(t *testing.T) {
	group := func(names ...string) switchnet.Position {
		return switchnet.Position{Name: "on", Joins: [][]string{names}}
	}
	tests := []struct {
		name string
		why  string
		kind switchnet.Kind
		want []string
	}{
		{"empty", "a kind made with new and never filled in", switchnet.Kind{},
			[]string{"has no name", "has 0 terminals", "has 0 positions"}},
		{"misspelt terminal", "the commonest typing error in the data",
			changed(func(k *switchnet.Kind) { k.Positions[1] = group("line", "laod") }), []string{`joins "laod"`}},
		{"terminal in two groups", "then the groups are one and should say so",
			changed(func(k *switchnet.Kind) {
				k.Terminals = append(k.Terminals, "pilot")
				k.Positions[1].Joins = [][]string{{"line", "load"}, {"load", "pilot"}}
			}), []string{`names terminal "load" twice`}},
		{"two positions do the same", "a copied position that was not edited",
			changed(func(k *switchnet.Kind) { k.Positions[0].Joins = k.Positions[1].Joins }), []string{`positions "off" and "on" join the same terminals`}},
		{"the same in another order", "order of groups and terminals does not make a difference",
			switchnet.Kind{Name: "pair", Terminals: []string{"a", "b", "c", "d"}, Positions: []switchnet.Position{
				{Name: "one", Joins: [][]string{{"a", "b"}, {"c", "d"}}}, {Name: "two", Joins: [][]string{{"d", "c"}, {"b", "a"}}}}},
			[]string{`positions "one" and "two"`}},
		{"names that differ in case", "nobody tells them apart on a tag",
			changed(func(k *switchnet.Kind) { k.Terminals = append(k.Terminals, "Line") }), []string{`"line" and "Line" differ only in case`}},
		{"name with a line break", "it would break every list it is written in",
			changed(func(k *switchnet.Kind) { k.Positions[0].Name = "off\nnow" }), []string{"does not print"}},
		{"name with space at the end", "read back from a file it is another name",
			changed(func(k *switchnet.Kind) { k.Terminals[0] = "line "; k.Positions[1] = group("line ", "load") }), []string{"space at an end"}},
		{"name that is not UTF-8", "read back from a file it is another name",
			changed(func(k *switchnet.Kind) { k.Name = "sw\xff" }), []string{"does not print"}},
		{"pilot across a closed joint", "a lamp whose ends are always joined never burns",
			changed(func(k *switchnet.Kind) {
				k.Positions[0].Joins = [][]string{{"line", "load"}}
				k.Positions = k.Positions[:1]
				k.Internal = []switchnet.InternalLoad{{Name: "pilot", From: "line", To: "load"}}
			}), []string{`"pilot" can never burn`}},
		{"breaker that never opens", "nothing behind it could be locked out",
			changed(func(k *switchnet.Kind) {
				k.Breaker = true
				k.Positions = []switchnet.Position{{Name: "on", Joins: [][]string{{"line", "load"}}}}
			}), []string{"without a position that opens every contact"}},
		{"breaker open at rest", "a net at rest has its breakers on",
			changed(func(k *switchnet.Kind) { k.Breaker = true }), []string{"open at rest"}},
		{"position named like one half way", "its transit form would have two positions of one name",
			changed(func(k *switchnet.Kind) {
				k.Terminals = append(k.Terminals, "remote")
				k.Positions = append(k.Positions, switchnet.Position{Name: "between off and on", Joins: [][]string{{"load", "remote"}}})
			}), []string{`break before make form has two positions called "between off and on"`, `make before break form has two positions`}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var r recorder
			nettest.CheckKind(&r, test.kind)
			for _, want := range test.want {
				if !slices.ContainsFunc(r.errors, func(e string) bool { return strings.Contains(e, want) }) {
					t.Errorf("no error says %q (%s); got %q", want, test.why, r.errors)
				}
			}
			if len(r.errors) != len(test.want) {
				t.Errorf("%d errors, want %d (%s): %q", len(r.errors), len(test.want), test.why, r.errors)
			}
		})
	}
}

func TestCheckKindNotes(t *testing.T) {
	tests := []struct {
		why  string
		kind switchnet.Kind
		want []string
	}{
		{"the halves of a split receptacle are joined to nothing, and that is the point", switchnet.SplitReceptacle(),
			[]string{`"hot 1" is never used`, `"hot 2" is never used`}},
		{"a group of one says nothing", changed(func(k *switchnet.Kind) { k.Positions[0].Joins = [][]string{{"line"}} }),
			[]string{"group of 1 terminals"}},
	}
	for _, test := range tests {
		var r recorder
		nettest.CheckKind(&r, test.kind)
		if len(r.errors) > 0 {
			t.Errorf("%s: %q", test.why, r.errors)
		}
		if len(r.logs) != len(test.want) {
			t.Errorf("%s: notes %q, want %d", test.why, r.logs, len(test.want))
			continue
		}
		for i, want := range test.want {
			if !strings.Contains(r.logs[i], want) {
				t.Errorf("%s: note %q does not say %q", test.why, r.logs[i], want)
			}
		}
	}
}

func TestBuiltInKindsPass(t *testing.T) {
	for _, k := range switchnet.Kinds() {
		t.Run(k.Name, func(t *testing.T) { nettest.CheckKind(t, k) })
	}
}

// The plain kind is what is examined; its form with a position half way does one
// thing twice, and the report says so.
func TestTransitFormRepeatsAPosition(t *testing.T) {
	r := nettest.Examine(switchnet.SinglePole().WithTransit(switchnet.BreakBeforeMake))
	if len(r.Faults) != 1 || !strings.Contains(r.Faults[0], `positions "off" and "between off and on"`) {
		t.Errorf("faults %q", r.Faults)
	}
}

// A kind of many terminals and positions is within the limits and examined in
// reasonable time.
func TestLargestKind(t *testing.T) {
	k := switchnet.Kind{Name: "selector"}
	for i := range switchnet.MaxTerminals {
		k.Terminals = append(k.Terminals, fmt.Sprint("t", i))
	}
	for i := range switchnet.MaxTerminals - 1 {
		k.Positions = append(k.Positions, switchnet.Position{Name: fmt.Sprint("p", i), Joins: [][]string{{"t0", fmt.Sprint("t", i+1)}}})
	}
	nettest.CheckKind(t, k)
}
