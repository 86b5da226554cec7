package switchnet_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/netgen"
	"example.com/switchleg/switchnet"
)

// writeUp writes down every answer of a net in up to the given number of
// states, in the order in which the net gives them.
func writeUp(tb rapid.TB, net *switchnet.Net, most int) string {
	tb.Helper()
	text, err := writeUpOf(net, most)
	if err != nil {
		tb.Fatal(err)
	}
	return text
}

func writeUpOf(net *switchnet.Net, most int) (string, error) {
	var b strings.Builder
	fmt.Fprintln(&b, net.Source())
	for t := range net.Terminals() {
		fmt.Fprintln(&b, t)
	}
	for d := range net.Devices() {
		fmt.Fprintf(&b, "%v %+v\n", d.Ref, d.Kind)
	}
	for l := range net.Loads() {
		fmt.Fprintln(&b, l.Ref, l.On, l.Ends, l.Rated)
	}
	for c := range net.Conductors() {
		from, to := c.From, c.To // in either direction it is the same conductor
		if to.Compare(from) < 0 {
			from, to = to, from
		}
		fmt.Fprintln(&b, c.Name, from, to)
	}
	for s := range net.Splices() {
		fmt.Fprintln(&b, s.Ref, s.Joins)
	}
	states, count, err := net.States(&switchnet.StatesOptions{Order: switchnet.Gray, Breakers: true})
	if err != nil {
		return "", err
	}
	fmt.Fprintln(&b, count, "states")
	solver := net.NewSolver()
	for s := range states {
		if most--; most < 0 {
			break
		}
		v, err := solver.Solve(s)
		if err != nil {
			return "", err
		}
		if err := describe(&b, v); err != nil {
			return "", err
		}
	}
	return b.String(), nil
}

// describe writes down every answer of a view.
func describe(b *strings.Builder, v *switchnet.View) error {
	fmt.Fprintln(b, v.State())
	for t, c := range v.Conditions() {
		fmt.Fprintf(b, "%v: %v, %v\n", t, c, c.Through)
	}
	for t := range v.Hazards() {
		fmt.Fprintf(b, "%v, ", t)
	}
	for r, s := range v.Supplies() {
		fmt.Fprintf(b, "%v: %+v\n", r, s)
		paths, err := v.Paths(r, &switchnet.PathOptions{Max: 6, Work: 10_000})
		if err != nil {
			return err
		}
		for _, p := range paths.List {
			fmt.Fprintf(b, "%v\n", p)
		}
		fmt.Fprintln(b, paths.Truncated)
	}
	for s := range v.Shorts() {
		fmt.Fprintln(b, s)
	}
	for s := range v.NeutralToGround() {
		fmt.Fprintln(b, s)
	}
	fmt.Fprintln(b, v.Shorted())
	return nil
}

// TestOrderOfDeclaration declares the same net in another order, with conductors
// end for end, and wants every answer byte for byte.
func TestOrderOfDeclaration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{States: 32}).Draw(t, "net")
		seed := rapid.Uint64Range(1, 1<<40).Draw(t, "seed")
		a, err := spec.Build()
		if err != nil {
			t.Fatal(err)
		}
		b, err := spec.Builder(seed).Build()
		if err != nil {
			t.Fatal(err)
		}
		sameText(t, writeUp(t, a, 6), writeUp(t, b, 6))
	})
}

// sameText fails with the first line in which two texts differ.
func sameText(tb rapid.TB, want, got string) {
	tb.Helper()
	if want == got {
		return
	}
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range w {
		if i >= len(g) || w[i] != g[i] {
			tb.Fatalf("line %d differs:\n%s\nwant\n%s", i+1, strings.Join(g[min(i, len(g)):min(i+1, len(g))], ""), w[i])
		}
	}
	tb.Fatalf("%d lines more than wanted", len(g)-len(w))
}

// TestProblemsInAnyOrder declares wrong nets in another order and wants the same
// problems.
func TestProblemsInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := netgen.Nets(netgen.Limits{States: 32}).Draw(t, "net")
		// Break it: what names parts of one device lands on nothing now.
		if len(spec.Devices) > 0 {
			spec.Devices = spec.Devices[1:]
		}
		spec.Loads = append(spec.Loads, switchnet.Load{Ref: ref("yard", "flood"), Ends: [2]string{"a", "a"}})
		spec.Points = append(spec.Points, term("yard", "cable", ""))
		seed := rapid.Uint64Range(1, 1<<40).Draw(t, "seed")
		_, a := spec.Build()
		_, b := spec.Builder(seed).Build()
		if a == nil || b == nil {
			t.Fatalf("a wrong net builds: %v, %v", a, b)
		}
		sameText(t, a.Error(), b.Error())
	})
}
