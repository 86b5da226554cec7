package identify_test

import (
	"slices"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
)

// rowNamed returns the row of a name.
func rowNamed(t testing.TB, name string) row {
	t.Helper()
	i := slices.IndexFunc(rows, func(r row) bool { return r.name == name })
	if i < 0 {
		t.Fatalf("no row %q", name)
	}
	return rows[i]
}

// followed returns a session of a row that was answered truthfully to its end.
func followed(t testing.TB, r row) *identify.Session {
	t.Helper()
	d := read(t, r)
	s := d.weighed(r).Session()
	d.follow(s, 200)
	return s
}

// TestNeutralOfAnySort: a neutral that is kept apart for some controls, or that another
// feed shares, is a neutral of its feed: of that it is never said that there is none.
func TestNeutralOfAnySort(t *testing.T) {
	for _, r := range []struct {
		row, box, feed string
		want           identify.Surety
	}{
		{"15 one circuit, neutrals apart", "s2", "stair", identify.Surely},
		{"multiwire", "s1", "stair", identify.Surely},
		{"multiwire", "s1", "porch", identify.Surely},
		{"3 feed and light at S1, S2 dead end", "s2", "stair", identify.Never},
	} {
		if got := has(t, followed(t, rowNamed(t, r.row)), r.box, identify.Neutral, r.feed); got != r.want {
			t.Errorf("%s: a neutral of %s in %s: %v, want %v", r.row, r.feed, r.box, got, r.want)
		}
	}
}

// TestPlanSaysWhoShares: a plan names the feed with which it shares its neutral, and says
// so if both are on one line.
func TestPlanSaysWhoShares(t *testing.T) {
	for name, oneLine := range map[string]bool{"multiwire": false, "multiwire on one line": true} {
		f := followed(t, rowNamed(t, name)).Verdict(1).Fits[0]
		if f.Likely < 95*quantity.Percent {
			t.Errorf("%s: the first is %v likely", name, f.Likely)
		}
		for _, p := range f.Plans {
			other := map[string]string{"stair": "porch", "porch": "stair"}[p.Feed]
			if p.Shares != other || p.OneLine != oneLine || p.Lawful() == oneLine {
				t.Errorf("%s: %v", name, p)
			}
		}
	}
}

// TestBothShareTheCurrent: where a neutral that is kept apart is joined again with the one
// that all else of the feed has, the plan of either says so, and of a light on the way
// there, whose current takes neither, none does.
func TestBothShareTheCurrent(t *testing.T) {
	d := read(t, row{name: "neutrals joined again beside the trunk", sheaths: true, job: `
seen
feed stair A
open s1 s2
light lamp ceiling
light flood eave
light bulb rafter
light outlet skirting
switch stair s2 single-pole
switch porch s1 single-pole
switch loft s1 single-pole
cable F 14/2 panel s1
cable T 14/3 s1 s2
cable U 14/2 s1 s2
cable L 14/2 s2 ceiling
cable M 14/2 s2 eave
cable N 14/2 s1 rafter
cable R 14/2 s2 skirting
in s1: F.black T.black porch.line loft.line
in s1: U.black porch.load
in s1: N.black loft.load
in s1: F.white T.white U.white N.white
in s2: T.black R.black stair.line
in s2: L.black stair.load
in s2: U.black M.black
in s2: T.white U.white L.white M.white R.white
`})
	q := d.question()
	s := newCase(t, &q, &identify.Options{Unusual: 2, Schemes: []identify.Scheme{identify.Chain}, Priors: narrow(), Controls: threeControls("s2", "s1", "s1")}).Session()
	d.follow(s, 100)
	for _, p := range s.Verdict(1).Fits[0].Plans {
		want := map[string]string{"stair": "s2", "porch": "s2", "loft": ""}[p.Control]
		if p.JoinedIn != want || p.Lawful() != (want == "") {
			t.Errorf("%v: joined in %q, want %q", p, p.JoinedIn, want)
		}
	}
}

// TestWhoseNeutral: where a light has not the neutral of its feed, the plan does not call
// that of the feed its own.
func TestWhoseNeutral(t *testing.T) {
	for _, r := range []struct {
		p    identify.Plan
		want string
	}{
		{identify.Plan{Control: "stair", Scheme: identify.Chain, Places: []string{"s1"}, Feed: "stair", Neutral: "stair", Shares: "porch and loft"}, "stair: chain through s1, fed by stair, its neutral shared with porch and loft, for which all their breakers must open together"},
		{identify.Plan{Control: "stair", Scheme: identify.Chain, Places: []string{"s1"}, Feed: "stair", Shares: "porch"}, "stair: chain through s1, fed by stair, its neutral comes another way, the neutral of stair shared with porch, for which all their breakers must open together"},
		{identify.Plan{Control: "stair", Scheme: identify.Chain, Places: []string{"s1"}, Feed: "stair", Neutral: "loft", Shares: "porch", OneLine: true}, "stair: chain through s1, fed by stair, its neutral borrowed from loft, the neutral of stair shared with porch of the same line, whose currents add up in it (unlawful)"},
	} {
		if got := r.p.String(); got != r.want {
			t.Errorf("%s\nwant %s", got, r.want)
		}
	}
}
